package kitproof.driver.simulated;

import java.util.Random;
import kitproof.driver.Handling;
import kitproof.driver.Settings;
import kitproof.value.Unit;

/**
 * The contacts between the unit's output terminals and the loads, in series with them and before
 * the point where the interface listens: what a gauge study is there to find.
 *
 * <p>Where nothing is told of how the unit came to the bench, they are part of the loads, which
 * were measured through them.
 *
 * @param resistance what each channel's contacts have on average, ohms
 * @param byAppraiser standard deviation from one who connects to another, ohms
 * @param byConnection from one connecting of a unit to the next
 * @param byTrial from one run to the next, as they warm and are leant on
 */
record Contacts(double resistance, double byAppraiser, double byConnection, double byTrial) {
  /** Reads the section {@code contacts} of a switcher's settings. */
  static Contacts read(Settings settings) {
    Settings part = settings.part("contacts");
    return new Contacts(
        ohms(part, "resistance"),
        ohms(part, "by-appraiser"),
        ohms(part, "by-connection"),
        ohms(part, "by-trial"));
  }

  private static double ohms(Settings part, String key) {
    double value = part.quantity(key, Unit.OHM, 0).value();
    if (value < 0 || value > 1) {
      part.reject(key, "0 ohm to 1 ohm");
      return 0;
    }
    return value;
  }

  /**
   * The resistance of one channel's contacts as this unit is connected, never below 0; the same
   * handling gives the same on every machine. Only what is told varies.
   */
  double of(String unit, Handling how, String channel) {
    if (how.equals(Handling.UNTOLD)) {
      return 0;
    }
    double drawn = resistance;
    if (!how.appraiser().isEmpty()) {
      drawn += byAppraiser * normal("appraiser", how.appraiser(), channel);
    }
    if (!how.connection().isEmpty()) {
      drawn += byConnection * normal("connection", unit + "/" + how.connection(), channel);
    }
    if (!how.trial().isEmpty()) {
      drawn += byTrial * normal("trial", how.trial(), channel);
    }
    return Math.max(0, drawn);
  }

  private static double normal(String kind, String of, String channel) {
    return new Random(seed(kind + "/" + of + "/" + channel)).nextGaussian();
  }

  /** What a run's noise begins with: 0 where no trial is told, so that runs are the same. */
  static long ofTrial(Handling how) {
    return how.trial().isEmpty() ? 0 : seed(how.trial());
  }

  /** Well spread, so that names that differ in one letter have nothing in common. */
  private static long seed(String of) {
    long seed = of.hashCode();
    seed = (seed ^ 0x5DEECE66DL) * 0x9E3779B97F4A7C15L;
    seed = (seed ^ seed >>> 29) * 0xBF58476D1CE4E5B9L;
    return seed ^ seed >>> 32;
  }
}
