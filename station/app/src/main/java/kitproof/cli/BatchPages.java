package kitproof.cli;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import kitproof.batch.Batch;
import kitproof.batch.BatchText;
import kitproof.batch.Influence;
import kitproof.batch.Series;
import kitproof.batch.SeriesReport;
import kitproof.batch.UnitHistory;
import kitproof.event.Event;
import kitproof.journal.RunRecord;
import kitproof.limit.statistics.Capability;
import kitproof.limit.statistics.Interval;
import kitproof.limit.statistics.Pareto;
import kitproof.limit.statistics.SubgroupChart;
import kitproof.limit.statistics.Summary;
import kitproof.limit.statistics.Trend;
import kitproof.limit.statistics.Yield;
import kitproof.plot.ChartDrawing;
import kitproof.plot.ControlChart;
import kitproof.plot.ParetoDrawing;
import kitproof.report.BatchSheet;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** A batch as its report says it. */
final class BatchPages {
  private static final int MOST_BARS = 10;
  private static final int MOST_CHARTS = 6;
  private static final int MOST_OF_A_NAME = 2;
  private static final int MOST_REMARKS = 5;
  private static final int MOST_UNITS = 1000;
  private static final int MOST_FAILURES = 5;

  /** More points than this are drawn in groups. */
  private static final int MOST_POINTS = 300;

  private static final int POINTS_IN_GROUPS = 200;
  private static final int LARGEST_GROUP = 25;

  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm", Locale.ROOT).withZone(ZoneOffset.UTC);

  private BatchPages() {}

  static BatchSheet of(Batch batch, List<SeriesReport> reports) {
    List<SeriesReport> shown = BatchText.shown(reports);
    List<Pareto.Bar> bars = batch.firstFailures();
    List<UnitHistory> units = batch.units();
    return new BatchSheet(
        batch.name(),
        product(batch),
        facts(batch),
        share(batch.firstPass()),
        share(batch.finalPass()),
        bars.isEmpty()
            ? null
            : ParetoDrawing.inline(
                bars.stream()
                    .limit(MOST_BARS)
                    .map(b -> new ParetoDrawing.Bar(b.name(), b.count(), b.cumulative()))
                    .toList()),
        strangers(shown),
        movers(shown),
        shown.stream()
            .map(r -> new BatchSheet.Remark(r.series().title(), BatchText.remarks(r)))
            .filter(remark -> !remark.words().isEmpty())
            .toList(),
        charts(batch.name(), shown),
        shown.stream().map(BatchPages::result).toList(),
        units.stream().limit(MOST_UNITS).map(BatchPages::unit).toList(),
        Math.max(0, units.size() - MOST_UNITS),
        BatchText.NOTES);
  }

  private static List<RunRecord> runs(Batch batch) {
    return batch.units().stream().flatMap(unit -> unit.runs().stream()).toList();
  }

  private static String product(Batch batch) {
    Set<String> products = new TreeSet<>();
    runs(batch).forEach(run -> products.add(run.product() + ", revision " + run.revision()));
    return products.size() == 1 ? products.iterator().next() : "";
  }

  private static List<String> facts(Batch batch) {
    List<RunRecord> runs = runs(batch);
    Set<String> stations = new TreeSet<>();
    runs.forEach(run -> stations.add(run.station()));
    Comparator<RunRecord> byStart = Comparator.comparing(RunRecord::started);
    List<String> facts = new ArrayList<>();
    facts.addAll(List.of("Units", String.valueOf(batch.units().size())));
    facts.addAll(List.of("Runs", String.valueOf(batch.runCount())));
    facts.addAll(List.of("Errors of the station", String.valueOf(batch.stationErrors())));
    facts.addAll(List.of("Stations", String.join(", ", stations)));
    runs.stream()
        .min(byStart)
        .ifPresent(run -> facts.addAll(List.of("First run", minute(run.started()))));
    runs.stream()
        .max(byStart)
        .ifPresent(run -> facts.addAll(List.of("Last run", minute(run.started()))));
    facts.addAll(List.of("Calibration", calibration(runs)));
    return facts;
  }

  /** The same of all runs of a batch. */
  static String calibration(Batch batch) {
    return calibration(runs(batch));
  }

  /** A line that says so where runs of a batch were uncalibrated; empty where none was. */
  static Optional<String> uncalibrated(Batch batch) {
    return Optional.of(calibration(batch))
        .filter(told -> told.contains(Event.CalibrationTold.UNCALIBRATED))
        .map(told -> "calibration: " + told);
  }

  /** Of how many runs the figures are known to nothing, or what all of them rest on. */
  static String calibration(List<RunRecord> runs) {
    long not =
        runs.stream().filter(r -> r.calibration().filter(c -> !c.calibrated()).isPresent()).count();
    long untold = runs.stream().filter(run -> run.calibration().isEmpty()).count();
    if (not > 0) {
      return (not == runs.size() ? "" : not + " of " + runs.size() + " runs ")
          + Event.CalibrationTold.UNCALIBRATED;
    }
    if (untold == runs.size()) {
      return "none told";
    }
    Set<String> told = new TreeSet<>();
    runs.forEach(run -> run.calibration().ifPresent(c -> told.add(c.told().split(", run ", 2)[0])));
    return String.join("; ", told)
        + (untold == 0 ? "" : "; none told in " + untold + " of " + runs.size() + " runs");
  }

  private static String minute(Instant time) {
    return MINUTE.format(time) + " UTC";
  }

  private static BatchSheet.Share share(Optional<Yield> found) {
    if (found.isEmpty()) {
      return new BatchSheet.Share("\u2013", "no attempt");
    }
    Yield share = found.get();
    Interval bounds = share.bounds(SeriesReport.CONFIDENCE);
    return new BatchSheet.Share(
        text("%.1f %%", 100 * share.fraction()),
        text(
            "%d of %d; with %.0f %% confidence %.1f %% to %.1f %%",
            share.good(),
            share.of(),
            100 * SeriesReport.CONFIDENCE,
            100 * bounds.low(),
            100 * bounds.high()));
  }

  /** Units unlike their sisters, with in how many results, the strangest first. */
  private static List<BatchSheet.Remark> strangers(List<SeriesReport> shown) {
    Map<String, List<String>> results = new LinkedHashMap<>();
    for (SeriesReport report : shown) {
      for (Series.Point point : report.outliers()) {
        results
            .computeIfAbsent(point.serial(), serial -> new ArrayList<>())
            .add(report.series().name());
      }
    }
    return results.entrySet().stream()
        .sorted(Comparator.comparing(e -> -e.getValue().size()))
        .limit(MOST_REMARKS)
        .map(e -> new BatchSheet.Remark(e.getKey(), List.of(strange(e.getValue()))))
        .toList();
  }

  private static String strange(List<String> names) {
    List<String> distinct = names.stream().distinct().toList();
    int more = distinct.size() - MOST_FAILURES;
    return "unlike its sisters in "
        + names.size()
        + (names.size() == 1 ? " result, " : " results, ")
        + String.join(", ", distinct.stream().limit(MOST_FAILURES).toList())
        + (more > 0 ? " and " + more + " more" : "");
  }

  /** Results that move over the batch or go with something, the surest first. */
  private static List<BatchSheet.Remark> movers(List<SeriesReport> shown) {
    record Mover(double probability, BatchSheet.Remark remark) {}
    List<Mover> movers = new ArrayList<>();
    for (SeriesReport report : shown) {
      String title = report.series().title();
      Trend trend = report.clearTrend();
      if (trend != null) {
        String words =
            "moves by " + show(report.series(), trend.slope()) + " a unit over the batch";
        movers.add(new Mover(trend.probability(), new BatchSheet.Remark(title, List.of(words))));
      }
      report.influences().stream()
          .filter(Influence::isClear)
          .forEach(
              one ->
                  movers.add(
                      new Mover(
                          one.probability(), new BatchSheet.Remark(title, List.of(one.words())))));
    }
    return movers.stream()
        .sorted(Comparator.comparingDouble(Mover::probability))
        .limit(MOST_REMARKS)
        .map(Mover::remark)
        .toList();
  }

  /**
   * The least capable ones first, then those in which a pattern stands out, no more than two of a
   * name, as the same fault shows in every mode and tap.
   */
  private static List<BatchSheet.Chart> charts(String batch, List<SeriesReport> shown) {
    Set<SeriesReport> wanted = new LinkedHashSet<>();
    shown.stream().filter(r -> r.capability() != null).forEach(wanted::add);
    shown.stream()
        .filter(r -> !r.marks().isEmpty() || !r.outliers().isEmpty() || r.clearTrend() != null)
        .forEach(wanted::add);
    Map<String, Integer> ofName = new HashMap<>();
    return wanted.stream()
        .filter(r -> r.series().points().size() > 1)
        .filter(r -> ofName.merge(r.series().name(), 1, Integer::sum) <= MOST_OF_A_NAME)
        .limit(MOST_CHARTS)
        .map(r -> chart(batch, r))
        .toList();
  }

  private static BatchSheet.Chart chart(String batch, SeriesReport report) {
    Series series = report.series();
    SubgroupChart groups = report.subgroups();
    if (groups == null && series.points().size() > MOST_POINTS) {
      int size = (series.points().size() + POINTS_IN_GROUPS - 1) / POINTS_IN_GROUPS;
      groups = SeriesReport.subgroups(series, Math.min(LARGEST_GROUP, size));
    }
    List<ControlChart> charts =
        groups == null
            ? List.of(ChartChoice.chart(batch, report))
            : ChartChoice.groups(batch, series, groups);
    return new BatchSheet.Chart(
        ChartDrawing.inline(charts), "Control chart of " + series.title() + " over the batch");
  }

  private static BatchSheet.ResultLine result(SeriesReport report) {
    Series series = report.series();
    Summary summary = report.summary();
    Capability capability = report.capability();
    return new BatchSheet.ResultLine(
        series.name(),
        series.conditions(),
        String.valueOf(series.points().size()),
        summary == null ? "" : show(series, summary.mean()),
        summary == null ? "" : show(series, summary.standardDeviation()),
        limit(series),
        capability == null || capability.cp() == null ? "" : BatchText.ratio(capability.cp()),
        bounds(capability == null ? null : capability.cpBounds()),
        capability == null ? "" : BatchText.ratio(capability.cpk()),
        bounds(capability == null ? null : capability.cpkBounds()),
        String.join(", ", report.warnings()));
  }

  private static String bounds(@Nullable Interval of) {
    return of == null ? "" : BatchText.ratio(of.low()) + " to " + BatchText.ratio(of.high());
  }

  private static String show(Series series, double value) {
    return Quantity.of(value, series.unit()).display();
  }

  private static String limit(Series series) {
    Double low = series.low();
    Double high = series.high();
    if (low == null) {
      return high == null ? "" : "\u2264 " + show(series, high);
    }
    return high == null
        ? "\u2265 " + show(series, low)
        : show(series, low) + " to " + show(series, high);
  }

  private static BatchSheet.UnitLine unit(UnitHistory unit) {
    RunRecord last = unit.last().orElse(unit.runs().get(unit.runs().size() - 1));
    return new BatchSheet.UnitLine(
        unit.serial(),
        MINUTE.format(last.started()),
        last.station(),
        String.valueOf(unit.attempts().size()),
        unit.first().map(run -> String.valueOf(run.verdict())).orElse("error"),
        unit.last().map(run -> String.valueOf(run.verdict())).orElse("error"),
        failed(last));
  }

  private static String failed(RunRecord run) {
    List<String> failed =
        run.steps().stream()
            .flatMap(step -> step.results().stream())
            .filter(result -> result.judgement().outcome().fails())
            .map(result -> result.measurement().name())
            .distinct()
            .toList();
    if (failed.isEmpty()) {
      return run.reason();
    }
    String words = String.join(", ", failed.stream().limit(MOST_FAILURES).toList());
    int more = failed.size() - MOST_FAILURES;
    return more > 0 ? words + " and " + more + " more" : words;
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
