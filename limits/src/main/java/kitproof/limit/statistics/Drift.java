package kitproof.limit.statistics;

import org.apache.commons.math3.distribution.TDistribution;

/**
 * How fast a value moves with time, by least squares, with what is needed to set one drift against
 * another.
 *
 * @param slope in the unit of the value per unit of time
 * @param error standard deviation of the slope
 * @param freedom degrees of freedom of that
 */
public record Drift(double slope, double error, double freedom) {

  /**
   * The drift of these values.
   *
   * @param times when each was measured, in any unit
   * @throws IllegalArgumentException as {@link Trend#of}
   */
  public static Drift of(double[] times, double[] values) {
    Trend line = Trend.of(times, values);
    return new Drift(line.slope(), line.slopeError(), times.length - 2);
  }

  /**
   * This drift less another one that was found independently: what is left of the drift of units
   * when that of the station is taken from it. Degrees of freedom by Welch and Satterthwaite (B. L.
   * Welch, Biometrika 34, 1947, 28).
   */
  public Drift less(Drift other) {
    double own = error * error;
    double others = other.error * other.error;
    double sum = own + others;
    double left =
        sum == 0
            ? Math.min(freedom, other.freedom)
            : sum * sum / (own * own / freedom + others * others / other.freedom);
    return new Drift(slope - other.slope, Math.sqrt(sum), left);
  }

  /** The same in a unit of the value that is so many times smaller. */
  public Drift times(double factor) {
    return new Drift(slope * factor, error * Math.abs(factor), freedom);
  }

  /** Where the true drift is with this confidence, by Student's t. */
  public Interval bounds(double confidence) {
    Sample.requireProbability(confidence, "a confidence of");
    double reach =
        error == 0
            ? 0
            : error
                * new TDistribution(null, freedom)
                    .inverseCumulativeProbability((1 + confidence) / 2);
    return new Interval(slope - reach, slope + reach);
  }

  /** The probability of a slope as steep either way by chance. */
  public double probability() {
    return error == 0
        ? (slope == 0 ? 1 : 0)
        : 2 * new TDistribution(null, freedom).cumulativeProbability(-Math.abs(slope / error));
  }
}
