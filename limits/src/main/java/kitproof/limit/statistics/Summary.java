package kitproof.limit.statistics;

import org.apache.commons.math3.stat.StatUtils;

/**
 * Descriptive figures of a sample, in its unit.
 *
 * <p>Mean and variance are computed in two corrected passes, so that values that differ in their
 * last digits only keep them (NIST StRD, univariate summary statistics).
 *
 * @param count how many values, 2 or more
 * @param mean arithmetic mean
 * @param standardDeviation with n − 1
 * @param lowest the smallest value
 * @param median the middle value; of an even count the mean of the two middle ones
 * @param highest the largest value
 */
public record Summary(
    int count,
    double mean,
    double standardDeviation,
    double lowest,
    double median,
    double highest) {

  /**
   * Sums up a sample.
   *
   * @throws IllegalArgumentException if there are fewer than 2 values or one is not finite
   */
  public static Summary of(double... values) {
    Sample.require(values, 2);
    double mean = StatUtils.mean(values);
    return new Summary(
        values.length,
        mean,
        Math.sqrt(StatUtils.variance(values, mean)),
        StatUtils.min(values),
        StatUtils.percentile(values, 50),
        StatUtils.max(values));
  }

  /**
   * The lag-1 autocorrelation: how far each value resembles the one before it, from −1 to 1 (NIST
   * StRD's definition).
   *
   * @throws IllegalArgumentException if there are fewer than 2 values, one is not finite, or all
   *     are the same
   */
  public static double autocorrelation(double... values) {
    Sample.require(values, 2);
    double mean = StatUtils.mean(values);
    double products = 0;
    double squares = 0;
    for (int i = 0; i < values.length; i++) {
      double deviation = values[i] - mean;
      squares += deviation * deviation;
      if (i > 0) {
        products += deviation * (values[i - 1] - mean);
      }
    }
    if (squares == 0) {
      throw new IllegalArgumentException("all values are the same");
    }
    return products / squares;
  }
}
