package kitproof.procedure;

import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import kitproof.driver.Capture;
import kitproof.signal.Levels;
import org.jspecify.annotations.Nullable;

/** The highest power that a step is to reach, and whether an output has gone beyond it. */
final class StatedPower {
  /** Peaks that much above those of a sine of the stated power are told: 1 dB. */
  private static final double EXCEEDS = Math.pow(10, 1 / 20.0);

  /** Peaks that much above those that were told of the same channel are told again: 1 dB. */
  private static final double WORSE = EXCEEDS;

  private double watts;

  /** The highest peaks that were told of a channel, as multiples of the stated ones. */
  private final Map<String, Double> told = new HashMap<>();

  /** Takes another power that the step is to reach. */
  void take(double another) {
    watts = Math.max(watts, another);
  }

  /**
   * What is to be told of an output that has gone beyond it: once in a step of each channel, and
   * again where it is clearly worse; empty for nothing.
   *
   * @param channel its name
   * @param volts of the output
   * @param ohms its load; null if it has not been asked for
   */
  String excess(String channel, Capture capture, double[] volts, @Nullable Double ohms) {
    if (ohms == null || watts == 0 || capture.lost()) {
      return "";
    }
    double most = 0;
    for (double sample : volts) {
      most = Math.max(most, Math.abs(sample));
    }
    double times = most / Math.sqrt(2 * watts * ohms);
    if (!(times > Math.max(EXCEEDS, WORSE * told.getOrDefault(channel, 0.0)))) {
      return "";
    }
    told.put(channel, times);
    return String.format(
        Locale.ROOT,
        "the output's peaks came to %.1f dB above those of a sine of the stated power",
        Levels.db(times));
  }
}
