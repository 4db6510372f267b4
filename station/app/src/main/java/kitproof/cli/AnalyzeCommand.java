package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** The analysis of a tone on saved captures, made here or elsewhere. */
@Command(
    name = "analyze",
    mixinStandardHelpOptions = true,
    subcommands = {
      AnalyzeSweepCommand.class,
      AnalyzeOutputImpedanceCommand.class,
      AnalyzeInputImpedanceCommand.class,
      AnalyzeCrosstalkCommand.class,
      AnalyzeBalanceCommand.class,
      AnalyzePowerCommand.class,
      AnalyzeFrequencyCommand.class,
      AnalyzeDifferenceFrequencyCommand.class,
      AnalyzeModulationCommand.class,
      AnalyzeHumCommand.class,
      AnalyzeNoiseCommand.class,
      AnalyzeSpectrumCommand.class,
      AnalyzeSquareWaveCommand.class,
      AnalyzeStabilityCommand.class,
      AnalyzeRecordCommand.class
    },
    description =
        "Measures a tone in saved captures: level, power, gain, THD, THD+N, harmonics. The tone's"
            + " exact frequency is found, so the capture may come from another clock. Other kinds"
            + " of captures have commands of their own below.",
    footer = {
      "",
      "Examples:",
      "  kitproof analyze capture.wav --tone \"1 kHz\"",
      "  kitproof analyze capture.wav --full-scale \"40 V\" --load \"8 ohm\" --json"
    })
final class AnalyzeCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;
  @Mixin private CaptureOptions captures = new CaptureOptions();
  @Mixin private LoadOption load = new LoadOption();
  @Mixin private ToneOption tone = new ToneOption();
  @Mixin private ReferenceOptions reference = new ReferenceOptions();

  @Parameters(
      arity = "0..*",
      paramLabel = "FILE",
      description = "WAV (16, 24, 32 bit, float) or FLAC files.")
  private List<Path> files = List.of();

  @Mixin private DistortionOptions distortion = new DistortionOptions(10);

  @Option(
      names = "--drive",
      paramLabel = "VOLTS",
      description =
          "The input, such as \"0.5 V\" (rms) or \"0.7 V peak\"; with --full-scale it gives the"
              + " gain.")
  private @Nullable String drive;

  @Override
  public Integer call() {
    if (files.isEmpty()) {
      throw new ParameterException(
          spec.commandLine(),
          "Say what to analyze: a WAV or FLAC file with a tone, or a command below.");
    }
    CaptureFigures figures = wanted();
    List<Measurement> measurements = new ArrayList<>();
    boolean allRead = true;
    for (Path file : files) {
      try {
        measurements.addAll(figures.of(file, files.size() > 1));
      } catch (IOException e) {
        allRead = false;
        spec.commandLine().getErr().println(file + ": " + plain(e, file));
        spec.commandLine().getErr().flush();
      } catch (OutOfMemoryError e) { // of the large arrays of this one file, which are gone now
        allRead = false;
        spec.commandLine().getErr().println(file + ": " + CaptureOptions.tooLong());
        spec.commandLine().getErr().flush();
      }
    }
    int code =
        captures.tell(
            String.valueOf(files.get(0).getFileName()),
            measurements,
            m -> m.name().equals("level"));
    return allRead ? code : ExitCodes.BAD_INPUT;
  }

  private CaptureFigures wanted() {
    OptionalDouble ohms = load.ohms(captures);
    int harmonics = distortion.harmonics(captures);
    double peak = captures.inVolts() ? captures.fullScalePeakVolts() : 0;
    if (drive != null && reference.channel() > 0) {
      throw captures.wrong("--drive says nothing with --reference", null);
    }
    return new CaptureFigures(
        peak,
        tone.hertz(captures),
        distortion.band(captures),
        ohms.orElse(0),
        harmonics,
        new CaptureFigures.Input(
            captures.drivePeakVolts(drive, 0),
            reference.channel(),
            reference.peakVolts(captures, peak)));
  }

  private static String plain(IOException e, Path file) {
    String message = String.valueOf(e.getMessage());
    return e instanceof java.nio.file.NoSuchFileException
        ? "found no such file; expected a WAV file"
        : message.replace(file + ": ", "");
  }
}
