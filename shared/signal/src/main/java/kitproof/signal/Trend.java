package kitproof.signal;

import java.util.Arrays;
import org.apache.commons.math3.stat.regression.SimpleRegression;

/**
 * How readings move over a time: a straight line through them by least squares, and their ends.
 *
 * @param mean of the readings
 * @param slope of the line, in the readings' unit per second
 * @param change of the line from the first reading to the last
 * @param range the highest reading less the lowest
 * @param endToEnd mean of the last tenth of the readings, at least one, less that of the first
 *     tenth
 * @param slopeStandard standard deviation of the slope by the readings' distances from the line;
 *     NaN of two readings
 * @param deviation standard deviation of the readings about the line; NaN of two readings
 */
public record Trend(
    double mean,
    double slope,
    double change,
    double range,
    double endToEnd,
    double slopeStandard,
    double deviation) {

  /**
   * Looks for it.
   *
   * @param seconds rising
   * @param values as many, at least 2
   */
  public static Trend of(double[] seconds, double[] values) {
    Require.samples(seconds, 2);
    Require.samples(values, 2);
    Require.sameLength(seconds, values);
    SimpleRegression line = new SimpleRegression();
    for (int i = 0; i < values.length; i++) {
      line.addData(seconds[i], values[i]);
    }
    Spread all = Spread.of(values);
    int tenth = Math.max(1, values.length / 10);
    double first = Spread.of(Arrays.copyOf(values, tenth)).mean();
    double last =
        Spread.of(Arrays.copyOfRange(values, values.length - tenth, values.length)).mean();
    double slope = line.getSlope();
    return new Trend(
        all.mean(),
        slope,
        slope * (seconds[seconds.length - 1] - seconds[0]),
        all.max() - all.min(),
        last - first,
        line.getSlopeStdErr(),
        Math.sqrt(line.getMeanSquareError()));
  }
}
