package kitproof.procedure;

import java.util.Locale;
import kitproof.driver.Capture;
import kitproof.signal.Levels;
import org.jspecify.annotations.Nullable;

/** The highest power that a step is to reach, and whether an output has gone beyond it. */
final class StatedPower {
  /** Peaks that much above those of a sine of the stated power are told: 1 dB. */
  private static final double EXCEEDS = Math.pow(10, 1 / 20.0);

  private double watts;
  private boolean told;

  /** Takes another power that the step is to reach. */
  void take(double another) {
    watts = Math.max(watts, another);
  }

  /**
   * What is to be told, once in a step, of an output that has gone beyond it; empty for nothing.
   *
   * @param volts of the output
   * @param ohms its load; null if it has not been asked for
   */
  String excess(Capture capture, double[] volts, @Nullable Double ohms) {
    if (told || ohms == null || watts == 0 || capture.lost()) {
      return "";
    }
    double most = 0;
    for (double sample : volts) {
      most = Math.max(most, Math.abs(sample));
    }
    double stated = Math.sqrt(2 * watts * ohms);
    told = most > EXCEEDS * stated;
    return told
        ? String.format(
            Locale.ROOT,
            "the output's peaks came to %.1f dB above those of a sine of the stated power",
            Levels.db(most / stated))
        : "";
  }
}
