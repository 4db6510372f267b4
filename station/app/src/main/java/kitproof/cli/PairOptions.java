package kitproof.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.signal.Impedance;
import kitproof.signal.SweptStimulus;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import kitproof.wav.WavFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Two captures of one sweep, before and after something was changed. */
final class PairOptions {
  @Mixin CaptureOptions captures = new CaptureOptions();
  @Mixin SweepOptions sweeps = new SweepOptions();

  @Option(
      names = "--channel",
      defaultValue = "1",
      paramLabel = "N",
      description = "The channel of both files, from 1 (default: ${DEFAULT-VALUE}).")
  private int channel;

  @Option(
      names = "--aligned",
      description =
          "Both captures begin at the same instant of the stimulus, as those of a station do."
              + " Without it each one's delay is found from itself, and with it goes what an"
              + " inductance or capacitance would delay.")
  private boolean aligned;

  /** What is found in a pair. */
  interface Analysis {
    /**
     * Measures.
     *
     * @throws IllegalArgumentException with the reason why nothing can be found
     */
    List<Measurement> of(SweepPair pair, double[] hz, Quantity at, Conditions conditions);
  }

  /**
   * Reads both, analyses and tells.
   *
   * @param name of the result that is invalid where nothing can be found
   */
  int analyse(Path first, Path second, String name, Analysis analysis) {
    Quantity at = sweeps.at();
    WavFile one = captures.read(first);
    WavFile other = captures.read(second);
    if (one.sampleRateHz() != other.sampleRateHz()) {
      throw captures.wrong(
          second
              + ": found "
              + other.sampleRateHz()
              + " samples per second; expected "
              + one.sampleRateHz()
              + ", as in "
              + first,
          null);
    }
    SweptStimulus sweep = sweeps.sweep(one.sampleRateHz());
    double[] a = captures.volts(first, one, channel);
    double[] b = captures.volts(second, other, channel);
    Conditions conditions = aligned ? Conditions.NONE : Conditions.of("delay", "fitted");
    List<Measurement> found = new ArrayList<>();
    if (one.clipped(channel - 1) || other.clipped(channel - 1)) {
      found.add(Measurement.invalid(name, conditions, "a capture reaches full scale"));
    } else {
      try {
        SweepPair pair = aligned ? SweepPair.aligned(sweep, a, b) : SweepPair.fitted(sweep, a, b);
        found.addAll(analysis.of(pair, SweepOptions.frequencies(sweep), at, conditions));
      } catch (IllegalArgumentException e) {
        found.add(Measurement.invalid(name, conditions, String.valueOf(e.getMessage())));
      }
    }
    return captures.tell(first.getFileName() + " and " + second.getFileName(), found);
  }

  /**
   * What both impedances are told by: the curves, and the size at one frequency.
   *
   * @param name output or input impedance
   */
  static List<Measurement> impedance(
      String name, Impedance found, Quantity at, Conditions conditions) {
    return List.of(
        Measurement.of(name, conditions, found.magnitude()),
        Measurement.of(name + " phase", conditions, found.phase()),
        Measurement.of(
            name + " at " + at.display(),
            conditions,
            Quantity.of(found.magnitudeAt(at.value()), Unit.OHM)));
  }

  /** By how much lower the second was played; see {@link StationPair}. */
  double lowerDb(Path first, Path second, String option, @Nullable String told) {
    return StationPair.lowerDb(captures, first, second, channel, option, told);
  }

  /** A resistance above zero. */
  double ohms(String option, String text, boolean mayBeZero) {
    return mayBeZero
        ? captures.notNegative(option, text, Unit.OHM)
        : captures.positive(option, text, Unit.OHM);
  }
}
