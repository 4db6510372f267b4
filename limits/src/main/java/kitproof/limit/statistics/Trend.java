package kitproof.limit.statistics;

import java.util.Arrays;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.stat.regression.SimpleRegression;

/**
 * A straight line through values by least squares, and whether its slope could be chance.
 *
 * @param slope in the unit of y per unit of x
 * @param slopeError standard deviation of the slope
 * @param intercept y at x = 0
 * @param probability of a slope as steep either way by chance (Student's t, n − 2), were the errors
 *     normal and independent
 */
public record Trend(double slope, double slopeError, double intercept, double probability) {
  /**
   * The line through these points.
   *
   * @param x such as the number of the unit in the batch
   * @param y of the same length
   * @throws IllegalArgumentException if there are fewer than 3 points, the lengths differ, a value
   *     is not finite, or all x are the same
   */
  public static Trend of(double[] x, double[] y) {
    Sample.require(x, 3);
    Sample.require(y, 3);
    if (x.length != y.length) {
      throw new IllegalArgumentException(x.length + " values of x, " + y.length + " of y");
    }
    if (Summary.of(x).standardDeviation() == 0) {
      throw new IllegalArgumentException("all x are the same");
    }
    SimpleRegression line = new SimpleRegression();
    for (int i = 0; i < x.length; i++) {
      line.addData(x[i], y[i]);
    }
    double error = line.getSlopeStdErr();
    double probability =
        error == 0
            ? (line.getSlope() == 0 ? 1 : 0)
            : 2
                * new TDistribution(null, x.length - 2)
                    .cumulativeProbability(-Math.abs(line.getSlope() / error));
    return new Trend(line.getSlope(), error, line.getIntercept(), probability);
  }

  /** Values in their order, as x = 1, 2, … . */
  public static Trend inOrder(double... y) {
    double[] x = new double[y.length];
    Arrays.setAll(x, i -> i + 1);
    return of(x, y);
  }
}
