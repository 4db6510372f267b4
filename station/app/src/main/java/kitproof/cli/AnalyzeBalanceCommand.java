package kitproof.cli;

import java.util.List;
import kitproof.signal.ResponseFigures;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

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
final class AnalyzeBalanceCommand extends TwoChannelSweep {
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

  AnalyzeBalanceCommand() {
    super("channel balance");
  }

  @Override
  int first() {
    return first;
  }

  @Override
  int second() {
    return second;
  }

  @Override
  List<Measurement> measure(Pair pair) {
    double[] hz = SweepOptions.frequencies(pair.sweep());
    double[] db = new double[hz.length];
    SweepPair responses = SweepPair.aligned(pair.sweep(), pair.first(), pair.second());
    for (int i = 0; i < db.length; i++) {
      db[i] = responses.first().gainDb(hz[i]) - responses.second().gainDb(hz[i]);
    }
    Curve curve = Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, db);
    return List.of(
        Measurement.of("channel balance", conditions(), curve),
        Measurement.of(
            "channel balance at " + pair.at().display(),
            conditions(),
            Quantity.of(ResponseFigures.levelDb(curve, pair.at().value()), Unit.DECIBEL)));
  }
}
