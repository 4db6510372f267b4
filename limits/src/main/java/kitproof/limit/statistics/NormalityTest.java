package kitproof.limit.statistics;

import java.util.Arrays;

/**
 * The Anderson–Darling test for normal values with mean and standard deviation from the sample.
 *
 * <p>Corrected for the number of values; the probability is Stephens's approximation (D'Agostino
 * and Stephens, Goodness-of-Fit Techniques, 1986, table 4.9). Its coefficients and the place are
 * from memory, not looked up.
 *
 * @param statistic A² as defined
 * @param probability of a statistic as large by chance were the values normal; small ones speak
 *     against it
 */
public record NormalityTest(double statistic, double probability) {
  /** Fewer values than this cannot tell. */
  public static final int LEAST = 8;

  /**
   * Tests a sample.
   *
   * @throws IllegalArgumentException if there are fewer than {@value #LEAST} values, one is not
   *     finite, or all are the same
   */
  public static NormalityTest of(double... values) {
    Sample.require(values, LEAST);
    Summary summary = Summary.of(values);
    if (!(summary.standardDeviation() > 0)) {
      throw new IllegalArgumentException("all values are the same");
    }
    double[] z = new double[values.length];
    Arrays.setAll(z, i -> (values[i] - summary.mean()) / summary.standardDeviation());
    Arrays.sort(z);
    int n = z.length;
    double sum = 0;
    for (int i = 0; i < n; i++) {
      sum += (2 * i + 1) * (logBelow(z[i]) + logBelow(-z[n - 1 - i]));
    }
    double statistic = -n - sum / n;
    double corrected = statistic * (1 + 0.75 / n + 2.25 / ((double) n * n));
    return new NormalityTest(statistic, probability(corrected));
  }

  private static double logBelow(double z) {
    // Far out the probability underflows; the smallest double stands for what is beyond.
    return Math.log(Math.max(Normal.below(z), Double.MIN_NORMAL));
  }

  private static double probability(double a) {
    if (a >= 0.6) {
      // The quadratic turns upward past its minimum; nothing is left there to tell.
      double bounded = Math.min(a, 10);
      return Math.exp(1.2937 - 5.709 * bounded + 0.0186 * bounded * bounded);
    }
    if (a >= 0.34) {
      return Math.exp(0.9177 - 4.279 * a - 1.38 * a * a);
    }
    if (a >= 0.2) {
      return 1 - Math.exp(-8.318 + 42.796 * a - 59.938 * a * a);
    }
    return 1 - Math.exp(-13.436 + 101.14 * a - 223.73 * a * a);
  }
}
