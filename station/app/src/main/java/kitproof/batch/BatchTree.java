package kitproof.batch;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.journal.RunRecord;
import kitproof.limit.statistics.Capability;
import kitproof.limit.statistics.ControlLimits;
import kitproof.limit.statistics.Interval;
import kitproof.limit.statistics.RuleMark;
import kitproof.limit.statistics.SubgroupChart;
import kitproof.limit.statistics.Trend;
import kitproof.limit.statistics.Yield;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** A batch as maps and lists, for a program to read as JSON. Figures are in the unit they name. */
public final class BatchTree {
  private BatchTree() {}

  /**
   * The whole report.
   *
   * @param unreadable records that could not be read
   */
  public static Map<String, Object> of(
      Batch batch, List<SeriesReport> reports, List<String> unreadable) {
    Map<String, Object> tree = new LinkedHashMap<>();
    tree.put("batch", batch.name());
    tree.put("runs", batch.runCount());
    tree.put("stationErrors", batch.stationErrors());
    tree.put("unreadable", unreadable);
    tree.put("firstPass", yieldOf(batch.firstPass()));
    tree.put("final", yieldOf(batch.finalPass()));
    tree.put(
        "firstFailures",
        batch.firstFailures().stream()
            .map(
                bar ->
                    map("result", bar.name(), "units", bar.count(), "cumulative", bar.cumulative()))
            .toList());
    tree.put("units", batch.units().stream().map(BatchTree::unit).toList());
    tree.put("results", reports.stream().map(BatchTree::result).toList());
    return tree;
  }

  private static @Nullable Map<String, Object> yieldOf(Optional<Yield> found) {
    return found
        .map(
            share ->
                map(
                    "good", share.good(),
                    "of", share.of(),
                    "fraction", share.fraction(),
                    "bounds", pair(share.bounds(SeriesReport.CONFIDENCE))))
        .orElse(null);
  }

  private static Map<String, Object> unit(UnitHistory unit) {
    return map(
        "unit", unit.serial(),
        "attempts", unit.attempts().size(),
        "first", unit.first().map(BatchTree::verdict).orElse(null),
        "last", unit.last().map(BatchTree::verdict).orElse(null),
        "failed", unit.last().map(RunRecord::failed).orElse(List.of()));
  }

  private static String verdict(RunRecord run) {
    return String.valueOf(run.verdict());
  }

  private static Map<String, Object> result(SeriesReport report) {
    Series series = report.series();
    Map<String, Object> tree =
        map(
            "result", series.name(),
            "conditions", series.conditions().values(),
            "unit", series.unit() == Unit.ONE ? "" : series.unit().symbol(),
            "low", series.low(),
            "high", series.high(),
            "units", series.points().size());
    if (report.summary() != null) {
      tree.put("mean", report.summary().mean());
      tree.put("standardDeviation", report.summary().standardDeviation());
      tree.put("lowest", report.summary().lowest());
      tree.put("median", report.summary().median());
      tree.put("highest", report.summary().highest());
    }
    tree.put("capability", capability(report.capability()));
    tree.put(
        "normality",
        report.normality() == null
            ? null
            : map(
                "test", "Anderson-Darling",
                "statistic", report.normality().statistic(),
                "probability", report.normality().probability()));
    tree.put(
        "outliers",
        report.outliers().stream()
            .map(point -> map("unit", point.serial(), "value", point.value()))
            .toList());
    tree.put("trend", trend(report.trend()));
    tree.put(
        "runRules",
        report.marks().stream()
            .map(
                mark ->
                    map(
                        "rule", mark.rule().toString(),
                        "unit", series.points().get(mark.index()).serial()))
            .toList());
    tree.put(
        "influences",
        report.influences().stream()
            .map(
                one ->
                    map(
                        "of", one.kind().toString(),
                        "words", one.words(),
                        "probability", one.probability()))
            .toList());
    tree.put("subgroups", subgroups(report.subgroups()));
    tree.put("warnings", report.warnings());
    tree.put(
        "values",
        series.points().stream()
            .map(point -> map("unit", point.serial(), "value", point.value()))
            .toList());
    return tree;
  }

  private static @Nullable Map<String, Object> capability(@Nullable Capability capability) {
    return capability == null
        ? null
        : map(
            "cp", capability.cp(),
            "cpBounds", capability.cpBounds() == null ? null : pair(capability.cpBounds()),
            "cpk", capability.cpk(),
            "cpkBounds", pair(capability.cpkBounds()));
  }

  private static @Nullable Map<String, Object> subgroups(@Nullable SubgroupChart chart) {
    return chart == null
        ? null
        : map(
            "size", chart.size(),
            "means", chart.means(),
            "meanLimits", limits(chart.meanLimits()),
            "ranges", chart.ranges(),
            "rangeLimits", limits(chart.rangeLimits()),
            "sigma", chart.sigma(),
            "runRules",
                chart.marks(RuleMark.FOUR_ZONE_RULES).stream()
                    .map(mark -> map("rule", mark.rule().toString(), "group", mark.index() + 1))
                    .toList(),
            "rangesBeyond", chart.rangeMarks().stream().map(i -> i + 1).toList());
  }

  private static Map<String, Object> limits(ControlLimits limits) {
    return map("lower", limits.lower(), "centre", limits.centre(), "upper", limits.upper());
  }

  private static @Nullable Map<String, Object> trend(@Nullable Trend trend) {
    return trend == null
        ? null
        : map("slopePerUnit", trend.slope(), "probability", trend.probability());
  }

  private static List<Double> pair(Interval interval) {
    return List.of(interval.low(), interval.high());
  }

  private static Map<String, Object> map(@Nullable Object... namesAndValues) {
    Map<String, Object> map = new LinkedHashMap<>();
    for (int i = 0; i < namesAndValues.length; i += 2) {
      map.put(String.valueOf(namesAndValues[i]), namesAndValues[i + 1]);
    }
    return map;
  }
}
