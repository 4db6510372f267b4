package kitproof.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import kitproof.batch.Series;
import kitproof.batch.SeriesReport;
import kitproof.limit.statistics.ControlLimits;
import kitproof.limit.statistics.IndividualsChart;
import kitproof.limit.statistics.RuleMark;
import kitproof.limit.statistics.SubgroupChart;
import kitproof.plot.ControlChart;
import kitproof.value.Conditions;
import kitproof.value.Nearest;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/** Which result a chart shows, and as what. */
record ChartChoice(CommandLine command) {
  private static final int MOST_TITLES = 6;

  /** "svg" or "png". */
  String kind(Path out) {
    String kind = out.toString().toLowerCase(Locale.ROOT).replaceFirst("^.*\\.", "");
    if (!Set.of("svg", "png").contains(kind)) {
      throw wrong("--out: found \"" + out + "\"; expected a file that ends in .svg or .png");
    }
    return kind;
  }

  /** The one series of this name that holds under these conditions. */
  Series one(List<Series> all, String result, Conditions wanted) {
    Set<String> names = new TreeSet<>();
    all.forEach(series -> names.add(series.name()));
    if (!names.contains(result)) {
      String hint = Nearest.to(result, names).map(n -> "; did you mean \"" + n + "\"?").orElse("");
      throw wrong(
          "--chart: found \"" + result + "\"; expected one of " + String.join(", ", names) + hint);
    }
    List<Series> fitting =
        all.stream()
            .filter(s -> s.name().equals(result) && s.conditions().satisfy(wanted))
            .toList();
    if (fitting.isEmpty()) {
      throw wrong(
          "--when: found no "
              + result
              + " when "
              + wanted
              + "; expected one of "
              + some(all.stream().filter(s -> s.name().equals(result)).toList()));
    }
    if (fitting.size() > 1) {
      throw wrong(
          "--when: found "
              + fitting.size()
              + " results; expected conditions of one of "
              + some(fitting));
    }
    if (fitting.get(0).points().size() < 2) {
      throw wrong("--chart: found one unit only; expected two or more");
    }
    return fitting.get(0);
  }

  private static String some(List<Series> series) {
    List<String> titles = new ArrayList<>();
    series.stream().limit(MOST_TITLES).forEach(s -> titles.add(s.title()));
    int more = series.size() - titles.size();
    return String.join("; ", titles) + (more > 0 ? "; and " + more + " more" : "");
  }

  private ParameterException wrong(String message) {
    return new ParameterException(command, message);
  }

  /** The individuals chart of a series of two or more. */
  static ControlChart chart(String batch, SeriesReport report) {
    Series series = report.series();
    IndividualsChart chart = IndividualsChart.of(series.values());
    List<RuleMark> marks = chart.marks(RuleMark.FOUR_ZONE_RULES);
    List<ControlChart.Point> points = new ArrayList<>();
    for (int i = 0; i < series.points().size(); i++) {
      int index = i;
      points.add(
          new ControlChart.Point(
              series.points().get(i).serial(),
              series.points().get(i).value(),
              marks.stream()
                  .filter(mark -> mark.index() == index)
                  .map(mark -> mark.rule().toString())
                  .toList()));
    }
    ControlLimits limits = chart.limits();
    String conditions = series.conditions().isEmpty() ? "" : ", " + series.conditions();
    return new ControlChart(
        series.name(),
        "batch " + batch + conditions + ", " + points.size() + " units by their last attempt",
        series.unit(),
        points,
        limits.lower(),
        limits.centre(),
        limits.upper(),
        series.low(),
        series.high(),
        "Control limits: three standard deviations from the mean moving range.");
  }

  /** Means and ranges of so many units in a row. */
  List<ControlChart> groups(String batch, Series series, int size) {
    SubgroupChart chart = SeriesReport.subgroups(series, size);
    if (chart == null) {
      throw wrong(
          "--subgroups: found "
              + series.points().size()
              + " units in groups of "
              + size
              + "; expected two groups or more, of two units or more");
    }
    return groups(batch, series, chart);
  }

  /** The two charts of subgroups. */
  static List<ControlChart> groups(String batch, Series series, SubgroupChart chart) {
    List<RuleMark> marks = chart.marks(RuleMark.FOUR_ZONE_RULES);
    List<ControlChart.Point> means = new ArrayList<>();
    List<ControlChart.Point> ranges = new ArrayList<>();
    for (int i = 0; i < chart.means().size(); i++) {
      int index = i;
      String label = series.points().get((i + 1) * chart.size() - 1).serial();
      List<String> rules =
          marks.stream()
              .filter(mark -> mark.index() == index)
              .map(mark -> mark.rule().toString())
              .toList();
      means.add(new ControlChart.Point(label, chart.means().get(i), rules));
      List<String> beyond =
          chart.rangeMarks().contains(i) ? List.of("range beyond its limit") : List.of();
      ranges.add(new ControlChart.Point(label, chart.ranges().get(i), beyond));
    }
    String conditions = series.conditions().isEmpty() ? "" : ", " + series.conditions();
    String under =
        "batch " + batch + conditions + ", groups of " + chart.size() + " units in a row";
    return List.of(
        chart(series, "mean of " + series.name(), under, means, chart.meanLimits()),
        chart(series, "range of " + series.name(), under, ranges, chart.rangeLimits()));
  }

  private static ControlChart chart(
      Series series,
      String title,
      String under,
      List<ControlChart.Point> points,
      ControlLimits limits) {
    return new ControlChart(
        title,
        under,
        series.unit(),
        points,
        limits.lower(),
        limits.centre(),
        limits.upper(),
        null,
        null,
        "Control limits: three standard deviations from the mean range inside the groups.");
  }
}
