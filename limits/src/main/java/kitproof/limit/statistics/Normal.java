package kitproof.limit.statistics;

import org.apache.commons.math3.distribution.NormalDistribution;
import org.apache.commons.math3.special.Erf;

/** The standard normal distribution. */
final class Normal {
  /** Beyond this many standard deviations nothing is left that a double could show beside 1. */
  static final double FAR = 8.5;

  private static final NormalDistribution STANDARD = new NormalDistribution(null, 0, 1);

  private Normal() {}

  static double density(double z) {
    return STANDARD.density(z);
  }

  static double below(double z) {
    return 0.5 * Erf.erfc(-z / Math.sqrt(2));
  }

  /** The probability above, without the loss of 1 − below. */
  static double above(double z) {
    return below(-z);
  }

  static double quantile(double probability) {
    return STANDARD.inverseCumulativeProbability(probability);
  }
}
