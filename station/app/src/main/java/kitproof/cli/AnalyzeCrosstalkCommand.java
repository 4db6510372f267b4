package kitproof.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
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
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** What one channel of a capture hears of the other. */
@Command(
    name = "crosstalk",
    mixinStandardHelpOptions = true,
    description =
        "Compares two channels of a capture of a sweep that drives one of them: how far the other one"
            + " lies below it.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze crosstalk left-driven.wav --silence silence.wav --sweep \"20 Hz..20 kHz\""
          + " --duration \"2 s\""
    })
final class AnalyzeCrosstalkCommand implements Callable<Integer> {
  @Mixin private CaptureOptions captures = new CaptureOptions();
  @Mixin private SweepOptions sweeps = new SweepOptions();

  @Parameters(paramLabel = "WAV", description = "A capture of two channels or more.")
  private Path file = Path.of("");

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
      paramLabel = "WAV",
      description =
          "A capture, as long, with nothing played: it tells what noise and hum alone would be"
              + " taken for. Without it crosstalk is an upper bound that noise may set.")
  private @Nullable Path silence;

  @Override
  public Integer call() {
    Quantity at = sweeps.at();
    WavFile wav = captures.read(file);
    SweptStimulus sweep = sweeps.sweep(wav.sampleRateHz());
    double[] one = captures.volts(file, wav, driven);
    double[] other = captures.volts(file, wav, listening);
    Conditions conditions =
        Conditions.of("driven", String.valueOf(driven)).with("channel", String.valueOf(listening));
    List<Measurement> found = new ArrayList<>();
    if (wav.clipped(driven - 1) || wav.clipped(listening - 1)) {
      found.add(Measurement.invalid("crosstalk", conditions, "the capture reaches full scale"));
    } else {
      double[] quiet = quiet(wav.sampleRateHz(), one.length);
      try {
        found.addAll(crosstalk(one, other, quiet, sweep, at, conditions));
      } catch (IllegalArgumentException e) {
        found.add(Measurement.invalid("crosstalk", conditions, String.valueOf(e.getMessage())));
      }
    }
    return captures.tell(String.valueOf(file.getFileName()), found);
  }

  /** The listening channel with nothing played; no samples if there is no such capture. */
  private double[] quiet(int rate, int length) {
    Path quietFile = silence;
    if (quietFile == null) {
      return new double[0];
    }
    WavFile wav = captures.read(quietFile);
    if (wav.sampleRateHz() != rate || wav.length() < length) {
      throw captures.wrong(
          "--silence: found "
              + wav.length()
              + " samples at "
              + wav.sampleRateHz()
              + " per second; expected at least "
              + length
              + " at "
              + rate
              + ", as in "
              + file,
          null);
    }
    return captures.volts(quietFile, wav, listening);
  }

  /** The other channel alone holds too little of the sweep to find it: the driven one tells. */
  private static List<Measurement> crosstalk(
      double[] one,
      double[] other,
      double[] quiet,
      SweptStimulus sweep,
      Quantity at,
      Conditions conditions) {
    SweepCapture loud = SweepCapture.of(sweep, 1, one);
    SweptStimulus clocked = loud.clocked(sweep);
    SweepResponse driven = loud.response();
    SweepResponse heard = SweepAnalysis.response(clocked, 1, loud.fromStart(other));
    SweepResponse silent =
        SweepAnalysis.response(
            clocked, 1, quiet.length == 0 ? new double[one.length] : loud.fromStart(quiet));
    Crosstalk found =
        Crosstalk.of(SweepOptions.frequencies(sweep), driven::at, heard::at, silent::at);
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
