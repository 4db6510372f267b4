package kitproof.limit.statistics;

import java.util.Collection;
import java.util.List;
import java.util.stream.DoubleStream;

/**
 * Individuals and moving-range chart: one value per unit, in the order they were made.
 *
 * <p>The standard deviation comes from the mean difference between neighbours, over d2 for two, so
 * that a slow drift does not widen the limits (NIST/SEMATECH e-Handbook 6.3.2.2).
 *
 * @param values the points, in their unit
 * @param limits of the values
 * @param ranges of the differences between neighbours
 */
public record IndividualsChart(List<Double> values, ControlLimits limits, ControlLimits ranges) {
  public IndividualsChart {
    values = List.copyOf(values);
  }

  /**
   * The chart of these values, in their order.
   *
   * @throws IllegalArgumentException if there are fewer than 2 values or one is not finite
   */
  public static IndividualsChart of(double... values) {
    Sample.require(values, 2);
    ChartConstants pair = ChartConstants.of(2);
    double centre = Summary.of(values).mean();
    double sum = 0;
    for (int i = 1; i < values.length; i++) {
      sum += Math.abs(values[i] - values[i - 1]);
    }
    double range = sum / (values.length - 1);
    double reach = pair.e2() * range;
    return new IndividualsChart(
        DoubleStream.of(values).boxed().toList(),
        new ControlLimits(centre - reach, centre, centre + reach),
        new ControlLimits(pair.lowerRange() * range, range, pair.upperRange() * range));
  }

  /** The standard deviation from one unit to the next. */
  public double sigma() {
    return (limits.upper() - limits.centre()) / 3;
  }

  /** Where a rule's pattern ends. */
  public List<RuleMark> marks(Collection<RunRule> rules) {
    return RuleMark.find(rules, values.stream().mapToDouble(limits::z).toArray());
  }
}
