package kitproof.signal;

import java.util.OptionalDouble;
import org.apache.commons.math3.stat.regression.SimpleRegression;

/**
 * An exponential discharge: a straight line through the logarithm of the volts.
 *
 * <p>Only readings above a fiftieth of the highest one are used: below that the meter's offset and
 * what recharges the capacitor bend the line.
 *
 * @param timeConstantSeconds time in which the volts fall to 1/e; negative if they rise
 * @param initialVolts of the fitted line at time zero
 * @param fitQuality coefficient of determination r² of the line: 1 for a pure exponential
 * @param pointsUsed readings that entered the fit
 * @param timeConstantStandard standard deviation of the time constant by the readings' distances
 *     from the line, seconds; NaN of two readings
 */
public record DischargeFit(
    double timeConstantSeconds,
    double initialVolts,
    double fitQuality,
    int pointsUsed,
    double timeConstantStandard) {

  /**
   * Fits.
   *
   * @param seconds rising
   * @param volts as many; at least two of them above the floor, and not all equal
   */
  public static DischargeFit of(double[] seconds, double[] volts) {
    Require.samples(seconds, 2);
    Require.samples(volts, 2);
    Require.sameLength(seconds, volts);
    double floor = Levels.peak(volts) / 50;
    SimpleRegression line = new SimpleRegression();
    for (int i = 0; i < volts.length; i++) {
      if (volts[i] > floor) {
        line.addData(seconds[i], Math.log(volts[i]));
      }
    }
    double slope = line.getSlope();
    if (Double.isNaN(slope) || slope == 0) {
      throw new IllegalArgumentException("no discharge: " + line.getN() + " readings, no fall");
    }
    return new DischargeFit(
        -1 / slope,
        Math.exp(line.getIntercept()),
        line.getRSquare(),
        (int) line.getN(),
        line.getSlopeStdErr() / (slope * slope));
  }

  /** When the fitted exponential reaches this voltage, counted from time zero. */
  public double secondsTo(double volts) {
    Require.positive("voltage", volts);
    return timeConstantSeconds * Math.log(initialVolts / volts);
  }

  /**
   * When the readings fall below a voltage for good, from a straight line between readings on the
   * logarithm of the volts.
   *
   * @param volts above zero
   * @return the first reading's time if all lie below; empty if the last does not
   */
  public static OptionalDouble secondsBelow(double[] seconds, double[] readings, double volts) {
    Require.samples(seconds, 1);
    Require.samples(readings, 1);
    Require.sameLength(seconds, readings);
    Require.positive("voltage", volts);
    int last = readings.length - 1;
    while (last >= 0 && readings[last] < volts) {
      last--;
    }
    if (last == readings.length - 1) {
      return OptionalDouble.empty();
    }
    if (last < 0) {
      return OptionalDouble.of(seconds[0]);
    }
    double from = readings[last];
    double to = readings[last + 1];
    // No logarithm of zero or less: then the straight line itself is the best there is.
    double part =
        to > 0 ? Math.log(from / volts) / Math.log(from / to) : (from - volts) / (from - to);
    return OptionalDouble.of(seconds[last] + part * (seconds[last + 1] - seconds[last]));
  }
}
