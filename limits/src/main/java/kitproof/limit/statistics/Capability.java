package kitproof.limit.statistics;

import org.apache.commons.math3.distribution.ChiSquaredDistribution;
import org.jspecify.annotations.Nullable;

/**
 * How a spread compares with its limits: Cp and Cpk, from the standard deviation of all values. No
 * units.
 *
 * <p>Both presume normal values. Bounds: of Cp exact, from the chi-squared distribution
 * (NIST/SEMATECH e-Handbook 6.1.6); of Cpk by Bissell, Applied Statistics 39 (1990) 331.
 *
 * @param count how many values
 * @param cp width of the limits over six standard deviations; null where only one limit is given
 * @param cpk distance of the mean to the nearer limit over three standard deviations
 * @param cpBounds of {@code cp}, null with it
 * @param cpkBounds of {@code cpk}
 */
public record Capability(
    int count, @Nullable Double cp, double cpk, @Nullable Interval cpBounds, Interval cpkBounds) {

  /**
   * Compares a sample with its limits.
   *
   * @param summary of the values, whose standard deviation is above 0
   * @param low lowest good value, or null
   * @param high highest good value, or null; in the unit of the values
   * @param confidence of the two-sided bounds, such as 0.95
   * @throws IllegalArgumentException if both limits are missing, low is not below high, or the
   *     values are all the same
   */
  public static Capability of(
      Summary summary, @Nullable Double low, @Nullable Double high, double confidence) {
    Sample.requireProbability(confidence, "a confidence of");
    if (low == null && high == null) {
      throw new IllegalArgumentException("no limit");
    }
    if (low != null && high != null && !(low < high)) {
      throw new IllegalArgumentException("a low of " + low + " not below a high of " + high);
    }
    double s = summary.standardDeviation();
    if (!(s > 0)) {
      throw new IllegalArgumentException("all values are the same");
    }
    double below = low == null ? Double.POSITIVE_INFINITY : (summary.mean() - low) / (3 * s);
    double above = high == null ? Double.POSITIVE_INFINITY : (high - summary.mean()) / (3 * s);
    double cpk = Math.min(below, above);
    Double cp = low == null || high == null ? null : (high - low) / (6 * s);
    return new Capability(
        summary.count(),
        cp,
        cpk,
        cp == null ? null : cpBounds(cp, summary.count(), confidence),
        cpkBounds(cpk, summary.count(), confidence));
  }

  private static Interval cpBounds(double cp, int count, double confidence) {
    int freedom = count - 1;
    ChiSquaredDistribution chi = new ChiSquaredDistribution(null, freedom);
    double tail = (1 - confidence) / 2;
    return new Interval(
        cp * Math.sqrt(chi.inverseCumulativeProbability(tail) / freedom),
        cp * Math.sqrt(chi.inverseCumulativeProbability(1 - tail) / freedom));
  }

  private static Interval cpkBounds(double cpk, int count, double confidence) {
    double reach = Normal.quantile((1 + confidence) / 2) * error(cpk, count);
    return new Interval(cpk - reach, cpk + reach);
  }

  /** The value that Cpk exceeds with a confidence, one-sided (Bissell 1990). */
  public double cpkAtLeast(double confidence) {
    Sample.requireProbability(confidence, "a confidence of");
    return cpk - Normal.quantile(confidence) * error(cpk, count);
  }

  private static double error(double cpk, int count) {
    return Math.sqrt(1 / (9.0 * count) + cpk * cpk / (2.0 * (count - 1)));
  }
}
