package kitproof.cli;

import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.function.Predicate;
import kitproof.driver.FullScale;
import kitproof.journal.ResultDocument;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import kitproof.wav.WavFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** What saved captures are, and where what is found in them goes: the same for every analysis. */
final class CaptureOptions {
  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  @Option(
      names = "--full-scale",
      paramLabel = "VOLTS",
      description =
          "What full scale of the captures stands for: \"40 V\" is the rms voltage of a full-scale"
              + " sine, \"56.6 V peak\" the voltage of its peak.")
  private @Nullable String fullScale;

  @Option(names = "--json", description = "Print JSON for a program to read, curves included.")
  private boolean json;

  @Option(
      names = "--curves",
      paramLabel = "FILE",
      description = "Where to keep everything that was found, for kitproof plot to draw.")
  private @Nullable Path curves;

  /** Whether volts are known, and not only shares of full scale. */
  boolean inVolts() {
    return fullScale != null;
  }

  /** Rms of a full-scale sine, volts; 1 if they are not known. */
  double fullScaleRms() {
    return inVolts() ? fullScalePeakVolts() / Math.sqrt(2) : 1;
  }

  /** The peak voltage at full scale; 1 if it is not known. */
  double fullScalePeakVolts() {
    if (fullScale == null) {
      return 1;
    }
    try {
      return FullScale.peakVolts(fullScale);
    } catch (IllegalArgumentException e) {
      throw wrong("--full-scale: found \"" + fullScale + "\"; expected " + e.getMessage(), e);
    }
  }

  /**
   * The amplitude of what was played, given as rms or peak.
   *
   * @param otherwise what stands for one that was not given
   */
  double drivePeakVolts(@Nullable String drive, double otherwise) {
    if (drive == null) {
      return otherwise;
    }
    if (!inVolts()) {
      throw wrong("--drive gives a gain only with --full-scale \"… V\".", null);
    }
    try {
      return FullScale.peakVolts(drive);
    } catch (IllegalArgumentException e) {
      throw wrong("--drive: found \"" + drive + "\"; expected " + e.getMessage(), e);
    }
  }

  /** The capture in a file. */
  WavFile read(Path file) {
    return read(file, spec);
  }

  /** The same for another command's options. */
  static WavFile read(Path file, CommandSpec spec) {
    try {
      return WavFile.read(file);
    } catch (OutOfMemoryError e) { // of the large arrays of this one file, which are gone now
      throw new ParameterException(spec.commandLine(), file + ": " + tooLong(), e);
    } catch (NoSuchFileException e) {
      throw new ParameterException(
          spec.commandLine(), file + ": found no such file; expected a WAV or FLAC file", e);
    } catch (IOException e) {
      String message = String.valueOf(e.getMessage()).replace(file + ": ", "");
      throw new ParameterException(spec.commandLine(), file + ": " + message, e);
    }
  }

  /**
   * One channel of a capture, volts or shares of full scale.
   *
   * @param channel counted from 1
   */
  double[] volts(Path file, WavFile wav, int channel) {
    requireChannel(file, wav, channel);
    double[] volts = wav.channel(channel - 1);
    double peak = fullScalePeakVolts();
    for (int i = 0; i < volts.length; i++) {
      volts[i] *= peak;
    }
    return volts;
  }

  /** Refuses a channel, counted from 1, that a capture does not have. */
  void requireChannel(Path file, WavFile wav, int channel) {
    if (channel < 1 || channel > wav.channels()) {
      throw wrong(
          file + ": found no channel " + channel + "; expected one of 1 to " + wav.channels(),
          null);
    }
  }

  /** A capture's length is what the program's memory can hold. */
  static String tooLong() {
    return "too long for the "
        + Runtime.getRuntime().maxMemory() / (1 << 20)
        + " MiB that the program may use; cut the capture, or give more, such as"
        + " KITPROOF_JAVA_OPTIONS=-Xmx4g";
  }

  /** A quantity above zero in the plain unit. */
  double positive(String option, String text, Unit unit) {
    return new OptionText(spec).positive(option, text, unit);
  }

  /** A quantity of zero or more in the plain unit. */
  double notNegative(String option, String text, Unit unit) {
    return new OptionText(spec).notNegative(option, text, unit);
  }

  /** A frequency above zero. */
  Quantity hertz(String option, String text) {
    return Quantity.of(positive(option, text, Unit.HERTZ), Unit.HERTZ);
  }

  /** A band of frequencies that is wider than one. */
  QuantityRange band(String option, String text) {
    return new OptionText(spec).band(option, text);
  }

  /** A whole number from one to another. */
  int within(String option, int found, int low, int high) {
    return new OptionText(spec).within(option, found, low, high);
  }

  /** Says that something that was given is wrong. */
  ParameterException wrong(String message, @Nullable Exception cause) {
    return new OptionText(spec).wrong(message, cause);
  }

  /** Prints what was found, and keeps it if a file was named. */
  int tell(String title, List<Measurement> found) {
    return tell(title, found, m -> true);
  }

  /**
   * As the other.
   *
   * @param matters which results must not be invalid
   */
  int tell(String title, List<Measurement> found, Predicate<Measurement> matters) {
    return Analysed.tell(
        spec.commandLine().getOut(), json, found, () -> keep(title, found), matters);
  }

  private void keep(String title, List<Measurement> found) {
    Path file = curves;
    if (file == null) {
      return;
    }
    try {
      new ResultDocument(title, found).write(file);
    } catch (IOException e) {
      throw wrong("--curves: found \"" + file + "\", which cannot be written: " + e, e);
    }
  }
}
