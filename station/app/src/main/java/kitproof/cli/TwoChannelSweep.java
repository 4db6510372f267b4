package kitproof.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import kitproof.signal.SweptStimulus;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.wav.WavFile;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;

/** A command that compares two channels of one capture of a sweep. */
abstract class TwoChannelSweep implements Callable<Integer> {
  @Mixin CaptureOptions captures = new CaptureOptions();
  @Mixin private SweepOptions sweeps = new SweepOptions();

  @Parameters(paramLabel = "FILE", description = "A capture of two channels or more.")
  private Path file = Path.of("");

  private final String result;

  /**
   * A command.
   *
   * @param result what is invalid where nothing can be found
   */
  TwoChannelSweep(String result) {
    this.result = result;
  }

  /**
   * What is compared.
   *
   * @param at where figures are read off the curves
   */
  record Pair(
      Path file, int rate, SweptStimulus sweep, double[] first, double[] second, Quantity at) {}

  /** The channels, from 1. */
  abstract int first();

  abstract int second();

  /** What results hold under. */
  Conditions conditions() {
    return Conditions.NONE;
  }

  /**
   * Compares.
   *
   * @throws IllegalArgumentException with the reason why nothing can be found
   */
  abstract List<Measurement> measure(Pair pair);

  @Override
  public Integer call() {
    Quantity at = sweeps.at();
    WavFile wav = captures.read(file);
    SweptStimulus sweep = sweeps.sweep(wav.sampleRateHz());
    double[] one = captures.volts(file, wav, first());
    double[] other = captures.volts(file, wav, second());
    String name = String.valueOf(file.getFileName());
    if (wav.clipped(first() - 1) || wav.clipped(second() - 1)) {
      return captures.tell(name, invalid("the capture reaches full scale"));
    }
    Pair pair = new Pair(file, wav.sampleRateHz(), sweep, one, other, at);
    List<Measurement> found;
    try {
      found = measure(pair);
    } catch (IllegalArgumentException e) {
      found = invalid(String.valueOf(e.getMessage()));
    }
    return captures.tell(name, found);
  }

  private List<Measurement> invalid(String reason) {
    return List.of(Measurement.invalid(result, conditions(), reason));
  }
}
