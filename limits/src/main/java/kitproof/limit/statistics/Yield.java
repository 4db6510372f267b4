package kitproof.limit.statistics;

import org.apache.commons.math3.distribution.BetaDistribution;

/**
 * How many of how many were good.
 *
 * @param good how many
 * @param of how many, 1 or more
 */
public record Yield(int good, int of) {
  public Yield {
    if (of < 1 || good < 0 || good > of) {
      throw new IllegalArgumentException(good + " good of " + of);
    }
  }

  /** The good part, 0 to 1. */
  public double fraction() {
    return (double) good / of;
  }

  /**
   * Where the yield of a large production may be: the exact interval of Clopper and Pearson,
   * Biometrika 26 (1934) 404.
   *
   * @param confidence such as 0.95
   */
  public Interval bounds(double confidence) {
    Sample.requireProbability(confidence, "a confidence of");
    double tail = (1 - confidence) / 2;
    return new Interval(
        good == 0 ? 0 : quantile(tail, good, of - good + 1),
        good == of ? 1 : quantile(1 - tail, good + 1, of - good));
  }

  private static double quantile(double probability, int a, int b) {
    return new BetaDistribution(null, a, b, 1e-12).inverseCumulativeProbability(probability);
  }
}
