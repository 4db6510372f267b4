package kitproof.cli;

import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import kitproof.driver.FullScale;
import kitproof.journal.ResultDocument;
import kitproof.value.Measurement;
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

  /** The capture in a file. */
  WavFile read(Path file) {
    try {
      return WavFile.read(file);
    } catch (NoSuchFileException e) {
      throw wrong(file + ": found no such file; expected a WAV file", e);
    } catch (IOException e) {
      String message = String.valueOf(e.getMessage()).replace(file + ": ", "");
      throw wrong(file + ": " + message, e);
    }
  }

  /**
   * One channel of a capture, volts or shares of full scale.
   *
   * @param channel counted from 1
   */
  double[] volts(Path file, WavFile wav, int channel) {
    if (channel < 1 || channel > wav.channels()) {
      throw wrong(
          file + ": found no channel " + channel + "; expected one of 1 to " + wav.channels(),
          null);
    }
    double[] volts = wav.channel(channel - 1);
    double peak = fullScalePeakVolts();
    for (int i = 0; i < volts.length; i++) {
      volts[i] *= peak;
    }
    return volts;
  }

  /** Says that something that was given is wrong. */
  ParameterException wrong(String message, @Nullable Exception cause) {
    return cause == null
        ? new ParameterException(spec.commandLine(), message)
        : new ParameterException(spec.commandLine(), message, cause);
  }

  /** Prints what was found, and keeps it if a file was named. */
  int tell(String title, List<Measurement> found) {
    return Analysed.tell(spec.commandLine().getOut(), json, found, () -> keep(title, found));
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
