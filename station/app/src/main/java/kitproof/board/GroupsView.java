package kitproof.board;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import kitproof.batch.Series;
import kitproof.limit.statistics.ControlLimits;
import kitproof.limit.statistics.RuleMark;
import kitproof.limit.statistics.SubgroupChart;

/**
 * The chart of means and ranges of units in a row. However many groups there are, only the latest
 * are here; the control limits are of all.
 *
 * @param size units in a group
 * @param count how many groups there are
 * @param groups the latest, in the order of testing
 * @param means control limits of the means
 * @param ranges control limits of the ranges
 */
public record GroupsView(int size, int count, List<Group> groups, Control means, Control ranges) {
  /** As many as a chart has room for. */
  static final int MOST = 300;

  /**
   * Units in a row.
   *
   * @param number of the group, from 1
   * @param first unit
   * @param last unit
   * @param mean of the values
   * @param range the greatest value less the least
   * @param rules whose pattern ends with this mean
   * @param beyond whether the range is beyond its limits
   */
  public record Group(
      int number,
      String first,
      String last,
      double mean,
      double range,
      List<String> rules,
      boolean beyond) {}

  /** Control limits. */
  public record Control(double low, double centre, double high) {
    static Control of(ControlLimits limits) {
      return new Control(limits.lower(), limits.centre(), limits.upper());
    }
  }

  static GroupsView of(Series series, SubgroupChart chart) {
    TreeMap<Integer, List<String>> rules = new TreeMap<>();
    for (RuleMark mark : chart.marks(RuleMark.FOUR_ZONE_RULES)) {
      rules.computeIfAbsent(mark.index(), i -> new ArrayList<>()).add(mark.rule().toString());
    }
    List<Integer> beyond = chart.rangeMarks();
    List<Group> groups = new ArrayList<>();
    int count = chart.means().size();
    for (int i = Math.max(0, count - MOST); i < count; i++) {
      groups.add(
          new Group(
              i + 1,
              series.points().get(i * chart.size()).serial(),
              series.points().get((i + 1) * chart.size() - 1).serial(),
              chart.means().get(i),
              chart.ranges().get(i),
              rules.getOrDefault(i, List.of()),
              beyond.contains(i)));
    }
    return new GroupsView(
        chart.size(),
        count,
        groups,
        Control.of(chart.meanLimits()),
        Control.of(chart.rangeLimits()));
  }
}
