package kitproof.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.signal.Crosstalk;
import kitproof.signal.ResponseFigures;
import kitproof.signal.SweepAnalysis;
import kitproof.signal.SweepCapture;
import kitproof.signal.SweepResponse;
import kitproof.signal.SweptStimulus;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import kitproof.wav.WavFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** What one channel of a capture hears of the other. */
@Command(
    name = "crosstalk",
    mixinStandardHelpOptions = true,
    description =
        "Compares two channels of a capture of a sweep that drives one of them: how far the other"
            + " one lies below it.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze crosstalk left-driven.wav --silence silence.wav --sweep \"20 Hz..20 kHz\""
          + " --duration \"2 s\""
    })
final class AnalyzeCrosstalkCommand extends TwoChannelSweep {
  @Option(
      names = "--driven",
      defaultValue = "1",
      paramLabel = "N",
      description = "The channel that is driven (default: ${DEFAULT-VALUE}).")
  private int driven;

  @Option(
      names = "--listening",
      defaultValue = "2",
      paramLabel = "N",
      description = "The channel that listens (default: ${DEFAULT-VALUE}).")
  private int listening;

  @Option(
      names = "--silence",
      paramLabel = "FILE",
      description =
          "A capture, as long, with nothing played: it tells what noise and hum alone would be"
              + " taken for. Without it crosstalk is an upper bound that noise may set.")
  private @Nullable Path silence;

  AnalyzeCrosstalkCommand() {
    super("crosstalk");
  }

  @Override
  int first() {
    return driven;
  }

  @Override
  int second() {
    return listening;
  }

  @Override
  Conditions conditions() {
    return Conditions.of("driven", String.valueOf(driven))
        .with("channel", String.valueOf(listening));
  }

  /** The listening channel with nothing played; no samples if there is no such capture. */
  private double[] quiet(Pair pair) {
    int length = pair.second().length;
    Path quietFile = silence;
    if (quietFile == null) {
      return new double[0];
    }
    WavFile wav = captures.read(quietFile);
    if (wav.sampleRateHz() != pair.rate() || wav.length() < length) {
      throw captures.wrong(
          "--silence: found "
              + wav.length()
              + " samples at "
              + wav.sampleRateHz()
              + " per second; expected at least "
              + length
              + " at "
              + pair.rate()
              + ", as in "
              + pair.file(),
          null);
    }
    return captures.volts(quietFile, wav, listening);
  }

  /** The other channel alone holds too little of the sweep to find it: the driven one tells. */
  @Override
  List<Measurement> measure(Pair pair) {
    double[] quiet = quiet(pair);
    SweepCapture loud = SweepCapture.of(pair.sweep(), 1, pair.first());
    SweptStimulus clocked = loud.clocked(pair.sweep());
    SweepResponse driving = loud.response();
    SweepResponse heard = SweepAnalysis.response(clocked, 1, loud.fromStart(pair.second()));
    SweepResponse silent =
        SweepAnalysis.response(
            clocked,
            1,
            quiet.length == 0 ? new double[pair.first().length] : loud.fromStart(quiet));
    Crosstalk found =
        Crosstalk.of(SweepOptions.frequencies(pair.sweep()), driving::at, heard::at, silent::at);
    Quantity at = pair.at();
    Conditions conditions = conditions();
    double level = ResponseFigures.levelDb(found.level(), at.value());
    Conditions said =
        quiet.length > 0 && found.isLimitedAt(at.value())
            ? conditions.with("limit", "noise: it lies below this")
            : conditions;
    List<Measurement> all = new ArrayList<>();
    all.add(Measurement.of("crosstalk", conditions, found.level()));
    if (quiet.length > 0) {
      all.add(Measurement.of("crosstalk floor", conditions, found.floor()));
    }
    all.add(Measurement.of("crosstalk at " + at.display(), said, Quantity.of(level, Unit.DECIBEL)));
    return all;
  }
}
