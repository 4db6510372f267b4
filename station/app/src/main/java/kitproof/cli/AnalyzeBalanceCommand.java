package kitproof.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import kitproof.signal.ResponseFigures;
import kitproof.signal.SweptStimulus;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import kitproof.wav.WavFile;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** How much more one channel of a capture gives than another, both driven alike. */
@Command(
    name = "channel-balance",
    mixinStandardHelpOptions = true,
    description =
        "Compares two channels of a capture of a sweep that drives both alike: the first less the"
            + " second, against frequency.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze channel-balance both-driven.wav --sweep \"20 Hz..20 kHz\" --duration \"2"
          + " s\""
    })
final class AnalyzeBalanceCommand implements Callable<Integer> {
  @Mixin private CaptureOptions captures = new CaptureOptions();
  @Mixin private SweepOptions sweeps = new SweepOptions();

  @Parameters(paramLabel = "WAV", description = "A capture of two channels or more.")
  private Path file = Path.of("");

  @Option(
      names = "--first",
      defaultValue = "1",
      paramLabel = "N",
      description = "The first channel (default: ${DEFAULT-VALUE}).")
  private int first;

  @Option(
      names = "--second",
      defaultValue = "2",
      paramLabel = "N",
      description = "The second channel (default: ${DEFAULT-VALUE}).")
  private int second;

  @Override
  public Integer call() {
    Quantity at = sweeps.at();
    WavFile wav = captures.read(file);
    SweptStimulus sweep = sweeps.sweep(wav.sampleRateHz());
    double[] one = captures.volts(file, wav, first);
    double[] other = captures.volts(file, wav, second);
    return captures.tell(
        String.valueOf(file.getFileName()),
        wav.clipped(first - 1) || wav.clipped(second - 1)
            ? invalid("the capture reaches full scale")
            : balance(sweep, one, other, at));
  }

  private static List<Measurement> invalid(String reason) {
    return List.of(Measurement.invalid("channel balance", Conditions.NONE, reason));
  }

  private static List<Measurement> balance(
      SweptStimulus sweep, double[] one, double[] other, Quantity at) {
    double[] hz = SweepOptions.frequencies(sweep);
    double[] db = new double[hz.length];
    try {
      SweepPair pair = SweepPair.aligned(sweep, one, other);
      for (int i = 0; i < db.length; i++) {
        db[i] = pair.first().gainDb(hz[i]) - pair.second().gainDb(hz[i]);
      }
      Curve curve = Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, db);
      double level = ResponseFigures.levelDb(curve, at.value());
      return List.of(
          Measurement.of("channel balance", Conditions.NONE, curve),
          Measurement.of(
              "channel balance at " + at.display(),
              Conditions.NONE,
              Quantity.of(level, Unit.DECIBEL)));
    } catch (IllegalArgumentException e) {
      return invalid(String.valueOf(e.getMessage()));
    }
  }
}
