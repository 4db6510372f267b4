package kitproof.signal;

import org.apache.commons.math3.stat.descriptive.SummaryStatistics;

/**
 * Mean and spread of repeated readings.
 *
 * @param count readings
 * @param mean their mean
 * @param standardDeviation of the sample (n - 1); zero for one reading
 * @param min the lowest
 * @param max the highest
 */
public record Spread(int count, double mean, double standardDeviation, double min, double max) {

  /** Of at least one reading. */
  public static Spread of(double[] readings) {
    Require.samples(readings, 1);
    SummaryStatistics all = new SummaryStatistics();
    for (double reading : readings) {
      all.addValue(reading);
    }
    return new Spread(
        readings.length, all.getMean(), all.getStandardDeviation(), all.getMin(), all.getMax());
  }
}
