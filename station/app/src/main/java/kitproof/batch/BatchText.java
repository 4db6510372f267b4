package kitproof.batch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Collectors;
import kitproof.limit.statistics.Interval;
import kitproof.limit.statistics.Pareto;
import kitproof.limit.statistics.RuleMark;
import kitproof.limit.statistics.SubgroupChart;
import kitproof.limit.statistics.Trend;
import kitproof.limit.statistics.Yield;
import org.jspecify.annotations.Nullable;

/** A batch in words, for a person at a terminal. */
public final class BatchText {
  /** How the figures are to be read. */
  public static final List<String> NOTES =
      List.of(
          "Cp and Cpk presume normal values from one source; bounds of Cp from the chi-squared"
              + " distribution, of Cpk after Bissell. few data:"
              + " below "
              + SeriesReport.FEW
              + " units.",
          "not normal: Anderson-Darling, p < 0.01. Unlike its sisters: generalised ESD, p < 0.01.",
          "Trends and what a result goes with: least squares, between stations analysis of"
              + " variance, p < 0.01; one in a hundred is chance.");

  private BatchText() {}

  /**
   * The lines to print.
   *
   * @param documents whether the batch was read from its documents, which tables can be made of
   */
  public static List<String> lines(Batch batch, List<SeriesReport> reports, boolean documents) {
    List<String> lines = new ArrayList<>();
    lines.add(
        "batch "
            + batch.name()
            + ": "
            + count(batch.units().size(), "unit")
            + ", "
            + count(batch.runCount(), "run"));
    lines.add("  first pass  " + yieldOf(batch.firstPass()));
    lines.add("  final       " + yieldOf(batch.finalPass()));
    if (batch.stationErrors() > 0) {
      lines.add(
          "  "
              + count(batch.stationErrors(), "run")
              + " ended in error: the station's, not counted as attempts");
    }
    pareto(batch, lines);
    List<SeriesReport> shown = shown(reports);
    remarkable(shown, lines);
    table(shown, lines);
    if (shown.size() < reports.size()) {
      lines.add(
          count(reports.size() - shown.size(), "result")
              + " without a limit not shown: "
              + (documents ? "--json and --csv have them." : "--json has them."));
    }
    return lines;
  }

  /** Results with a limit, the least capable first; all where nothing has a limit yet. */
  public static List<SeriesReport> shown(List<SeriesReport> reports) {
    List<SeriesReport> limited =
        reports.stream().filter(report -> report.series().limit() != null).toList();
    return (limited.isEmpty() ? reports : limited)
        .stream().sorted(Comparator.comparingDouble(BatchText::cpk)).toList();
  }

  private static double cpk(SeriesReport report) {
    return report.capability() == null ? Double.POSITIVE_INFINITY : report.capability().cpk();
  }

  private static String count(int number, String word) {
    return number + " " + word + (number == 1 ? "" : "s");
  }

  private static String yieldOf(Optional<Yield> found) {
    if (found.isEmpty()) {
      return "no attempt";
    }
    Interval bounds = found.get().bounds(SeriesReport.CONFIDENCE);
    return text(
        "%d of %d, %.1f %% (%.0f %% confidence: %.1f %% to %.1f %%)",
        found.get().good(),
        found.get().of(),
        100 * found.get().fraction(),
        100 * SeriesReport.CONFIDENCE,
        100 * bounds.low(),
        100 * bounds.high());
  }

  private static void pareto(Batch batch, List<String> lines) {
    List<Pareto.Bar> bars = batch.firstFailures();
    if (bars.isEmpty()) {
      return;
    }
    lines.add("");
    lines.add("What failed in first attempts, by units");
    for (Pareto.Bar bar : bars) {
      lines.add(text("  %3d  %3.0f %%  %s", bar.count(), 100 * bar.cumulative(), bar.name()));
    }
  }

  private static void remarkable(List<SeriesReport> reports, List<String> lines) {
    List<String> found = new ArrayList<>();
    for (SeriesReport report : reports) {
      Series series = report.series();
      List<String> remarks = remarks(report);
      if (!remarks.isEmpty()) {
        found.add(series.title());
        remarks.forEach(remark -> found.add("    " + remark));
      }
    }
    if (!found.isEmpty()) {
      lines.add("");
      lines.add("Worth a look");
      found.forEach(line -> lines.add("  " + line));
    }
  }

  /** What is worth a look in a result, a line each. */
  public static List<String> remarks(SeriesReport report) {
    Series series = report.series();
    List<String> remarks = new ArrayList<>();
    for (Series.Point point : report.outliers()) {
      remarks.add(
          point.serial() + " is unlike its sisters, " + series.show(point.value()) + usual(report));
    }
    Trend trend = report.clearTrend();
    if (trend != null) {
      remarks.add(
          "moves by "
              + series.show(trend.slope())
              + " a unit over the batch"
              + text(" (p = %.2g)", trend.probability()));
    }
    for (Influence influence : report.influences()) {
      if (influence.isClear()) {
        remarks.add(influence.words() + text(" (p = %.2g)", influence.probability()));
      }
    }
    if (!report.marks().isEmpty()) {
      remarks.add(marks(report));
    }
    String groups = groupMarks(report);
    if (!groups.isEmpty()) {
      remarks.add(groups);
    }
    return remarks;
  }

  /** "means of 5 units: 1 point beyond 3 sigma at group 3; …"; empty without a mark. */
  private static String groupMarks(SeriesReport report) {
    SubgroupChart chart = report.subgroups();
    if (chart == null) {
      return "";
    }
    String marks =
        chart.marks(RuleMark.FOUR_ZONE_RULES).stream()
            .map(mark -> mark.rule() + " at group " + (mark.index() + 1))
            .collect(Collectors.joining("; "));
    String ranges =
        chart.rangeMarks().stream()
            .map(i -> "range beyond its limit in group " + (i + 1))
            .collect(Collectors.joining("; "));
    String both = marks + (marks.isEmpty() || ranges.isEmpty() ? "" : "; ") + ranges;
    return both.isEmpty() ? "" : "groups of " + chart.size() + " units in a row: " + both;
  }

  private static String usual(SeriesReport report) {
    return report.summary() == null
        ? ""
        : " (median " + report.series().show(report.summary().median()) + ")";
  }

  /** "1 point beyond 3 sigma at LN12-004; …". */
  static String marks(SeriesReport report) {
    return report.marks().stream()
        .collect(
            Collectors.groupingBy(
                RuleMark::rule,
                TreeMap::new,
                Collectors.mapping(
                    mark -> report.series().points().get(mark.index()).serial(),
                    Collectors.joining(", "))))
        .entrySet()
        .stream()
        .map(entry -> entry.getKey() + " at " + entry.getValue())
        .collect(Collectors.joining("; "));
  }

  private static void table(List<SeriesReport> reports, List<String> lines) {
    if (reports.isEmpty()) {
      return;
    }
    lines.add("");
    lines.add("Each unit by its last attempt, the least capable result first");
    lines.add(
        text(
            "  %6s %15s %6s %15s %5s %11s %11s  %s",
            "Cp", "95 %", "Cpk", "95 %", "units", "mean", "s", "result"));
    for (SeriesReport report : reports) {
      lines.add(row(report).stripTrailing());
    }
    lines.add("");
    lines.addAll(NOTES);
  }

  private static String row(SeriesReport report) {
    Series series = report.series();
    String mean = report.summary() == null ? "" : series.show(report.summary().mean());
    String spread =
        report.summary() == null ? "" : series.show(report.summary().standardDeviation());
    String cp =
        report.capability() == null || report.capability().cp() == null
            ? ""
            : ratio(report.capability().cp());
    String cpk = report.capability() == null ? "" : ratio(report.capability().cpk());
    return text(
        "  %6s %15s %6s %15s %5d %11s %11s  %s%s",
        cp,
        report.capability() == null ? "" : bounds(report.capability().cpBounds()),
        cpk,
        report.capability() == null ? "" : bounds(report.capability().cpkBounds()),
        series.points().size(),
        mean,
        spread,
        series.title(),
        report.warnings().isEmpty() ? "" : ": " + String.join(", ", report.warnings()));
  }

  private static String bounds(@Nullable Interval of) {
    return of == null ? "" : ratio(of.low()) + " to " + ratio(of.high());
  }

  /** Cp or Cpk with two decimals; a zero has no sign. */
  public static String ratio(double value) {
    String words = text("%.2f", value);
    return words.equals("-0.00") ? "0.00" : words;
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
