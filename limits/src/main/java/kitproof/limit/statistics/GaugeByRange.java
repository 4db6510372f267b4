package kitproof.limit.statistics;

import java.util.stream.IntStream;
import org.apache.commons.math3.stat.StatUtils;

/**
 * A gauge study by averages and ranges (AIAG, Measurement Systems Analysis, 4th edition, 2010,
 * chapter III).
 *
 * <p>Factors are computed, not read from the manual's three-digit table: K1 is 1/d2 of the repeats,
 * K2 and K3 are 1/d2* of one range over appraisers and over units. Cannot see an interaction of
 * appraisers with units.
 *
 * @param meanRange of the repeats
 * @param appraiserDifference largest less smallest mean of an appraiser
 * @param unitRange largest less smallest mean of a unit
 * @param spread the parts of the spread
 */
public record GaugeByRange(
    double meanRange, double appraiserDifference, double unitRange, GaugeSpread spread) {

  public static GaugeByRange of(GaugeData data) {
    int units = data.units().size();
    int appraisers = data.appraisers().size();
    double[] ranges =
        IntStream.range(0, appraisers * units)
            .mapToObj(i -> data.cell(i / units, i % units))
            .mapToDouble(GaugeByRange::range)
            .toArray();
    double meanRange = StatUtils.mean(ranges);
    double difference =
        range(
            IntStream.range(0, appraisers)
                .mapToDouble(a -> StatUtils.mean(data.ofAppraiser(a)))
                .toArray());
    double unitRange =
        range(IntStream.range(0, units).mapToDouble(u -> StatUtils.mean(data.ofUnit(u))).toArray());
    double repeatability = meanRange / ChartConstants.of(data.repeats()).d2();
    double between = difference / ChartConstants.of(appraisers).d2Star(1);
    double ofRepeats = repeatability * repeatability / (units * data.repeats());
    return new GaugeByRange(
        meanRange,
        difference,
        unitRange,
        new GaugeSpread(
            repeatability,
            Math.sqrt(Math.max(0, between * between - ofRepeats)),
            0,
            unitRange / ChartConstants.of(units).d2Star(1)));
  }

  private static double range(double[] values) {
    return StatUtils.max(values) - StatUtils.min(values);
  }
}
