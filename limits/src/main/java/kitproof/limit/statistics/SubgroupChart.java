package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import org.apache.commons.math3.stat.StatUtils;

/**
 * X̄-R chart: means and ranges of subgroups of one size, in order (NIST/SEMATECH e-Handbook
 * 6.3.2.1).
 *
 * @param size values in a subgroup
 * @param means of the subgroups, in the unit of the values
 * @param ranges of the subgroups
 * @param meanLimits of the means
 * @param rangeLimits of the ranges
 */
public record SubgroupChart(
    int size,
    List<Double> means,
    List<Double> ranges,
    ControlLimits meanLimits,
    ControlLimits rangeLimits) {
  public SubgroupChart {
    means = List.copyOf(means);
    ranges = List.copyOf(ranges);
  }

  /**
   * The chart of these subgroups, in their order.
   *
   * @param subgroups each with the same number of values, 2 or more
   * @throws IllegalArgumentException if there are fewer than 2 subgroups, sizes differ, or a value
   *     is not finite
   */
  public static SubgroupChart of(List<List<Double>> subgroups) {
    if (subgroups.size() < 2) {
      throw new IllegalArgumentException(subgroups.size() + " subgroups, where 2 are needed");
    }
    int size = subgroups.get(0).size();
    List<Double> means = new ArrayList<>();
    List<Double> ranges = new ArrayList<>();
    for (List<Double> subgroup : subgroups) {
      if (subgroup.size() != size) {
        throw new IllegalArgumentException("subgroups of " + size + " and " + subgroup.size());
      }
      double[] values = array(subgroup);
      Sample.require(values, 2);
      means.add(StatUtils.mean(values));
      ranges.add(StatUtils.max(values) - StatUtils.min(values));
    }
    ChartConstants constants = ChartConstants.of(size);
    double centre = StatUtils.mean(array(means));
    double range = StatUtils.mean(array(ranges));
    double reach = constants.a2() * range;
    return new SubgroupChart(
        size,
        means,
        ranges,
        new ControlLimits(centre - reach, centre, centre + reach),
        new ControlLimits(constants.lowerRange() * range, range, constants.upperRange() * range));
  }

  /** The standard deviation inside subgroups. */
  public double sigma() {
    return rangeLimits.centre() / ChartConstants.of(size).d2();
  }

  /** Where a rule's pattern ends among the means. */
  public List<RuleMark> marks(Collection<RunRule> rules) {
    return RuleMark.find(rules, means.stream().mapToDouble(meanLimits::z).toArray());
  }

  /** Which ranges, from 0, lie outside their limits; other rules are not meant for ranges. */
  public List<Integer> rangeMarks() {
    List<Integer> marks = new ArrayList<>();
    for (int i = 0; i < ranges.size(); i++) {
      if (ranges.get(i) > rangeLimits.upper() || ranges.get(i) < rangeLimits.lower()) {
        marks.add(i);
      }
    }
    return marks;
  }

  private static double[] array(List<Double> values) {
    return values.stream().mapToDouble(Double::doubleValue).toArray();
  }
}
