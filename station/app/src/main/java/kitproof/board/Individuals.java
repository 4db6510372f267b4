package kitproof.board;

import java.util.List;

/**
 * The limits of a chart of individual values: the mean and three standard deviations to both sides,
 * the deviation reckoned from the mean moving range of two neighbours. Pure.
 *
 * <p>Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, Individuals Control Charts.
 *
 * @param mean of the values
 * @param low mean − 3 · MR̄ / d2
 * @param high mean + 3 · MR̄ / d2
 */
record Individuals(double mean, double low, double high) {
  /** Fewer values say too little of how they spread. */
  static final int FEWEST = 8;

  /** Expected range of two values of a normal distribution with deviation 1, as tables print it. */
  private static final double D2 = 1.128;

  /**
   * From values in the order in which they were made.
   *
   * @param values at least two
   */
  static Individuals of(List<Double> values) {
    double sum = 0;
    double ranges = 0;
    for (int i = 0; i < values.size(); i++) {
      sum += values.get(i);
      ranges += i == 0 ? 0 : Math.abs(values.get(i) - values.get(i - 1));
    }
    double mean = sum / values.size();
    double spread = 3 * ranges / (values.size() - 1) / D2;
    return new Individuals(mean, mean - spread, mean + spread);
  }
}
