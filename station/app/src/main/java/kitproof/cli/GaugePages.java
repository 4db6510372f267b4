package kitproof.cli;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import kitproof.gauge.GaugeReport;
import kitproof.gauge.GaugeResult;
import kitproof.gauge.GaugeSeries;
import kitproof.gauge.GaugeText;
import kitproof.gauge.Study;
import kitproof.gauge.Trialled;
import kitproof.journal.RunRecord;
import kitproof.limit.statistics.GaugeAbility;
import kitproof.limit.statistics.GaugeAbility.Grade;
import kitproof.limit.statistics.GaugeBounds;
import kitproof.limit.statistics.GaugeByAnova;
import kitproof.limit.statistics.GaugeData;
import kitproof.limit.statistics.GaugeSpread;
import kitproof.limit.statistics.Interval;
import kitproof.plot.GaugeChart;
import kitproof.plot.GaugeDrawing;
import kitproof.report.BatchSheet;
import kitproof.report.GaugeSheet;

/** A gauge study as its report says it. */
final class GaugePages {
  private static final int MOST_CHARTS = 6;
  private static final int MOST_OF_A_NAME = 2;
  private static final int MOST_NAMES = 12;

  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm", Locale.ROOT).withZone(ZoneOffset.UTC);

  private GaugePages() {}

  static GaugeSheet of(GaugeReport report) {
    List<GaugeResult> limited = report.limited();
    return new GaugeSheet(
        report.name(),
        product(report),
        facts(report),
        new BatchSheet.Share(
            count(limited, Grade.ABLE) + " of " + limited.size(),
            report.left() == 0
                ? "Whether the station's own spread is small enough for what it has to judge."
                : "The study is not done: " + report.left() + " trials are still to do."),
        rest(limited),
        limited.stream()
            .map(r -> new BatchSheet.Remark(r.series().title(), List.of(r.sentence())))
            .toList(),
        charts(report),
        report.results().stream().map(GaugePages::line).toList(),
        GaugeText.NOTES);
  }

  private static long count(List<GaugeResult> results, Grade grade) {
    return results.stream()
        .map(GaugeResult::ability)
        .filter(ability -> ability != null && ability.grade() == grade)
        .count();
  }

  private static String rest(List<GaugeResult> limited) {
    long unsaid =
        count(limited, Grade.OPEN)
            + limited.stream().filter(result -> result.ability() == null).count();
    List<String> parts = new ArrayList<>();
    add(parts, count(limited, Grade.WITH_A_GUARD_BAND), " with a guard band only");
    add(parts, count(limited, Grade.UNABLE), " not");
    add(parts, unsaid, " of which nothing can be said");
    return String.join(", ", parts);
  }

  private static void add(List<String> parts, long count, String words) {
    if (count > 0) {
      parts.add(count + words);
    }
  }

  private static String product(GaugeReport report) {
    Set<String> products = new TreeSet<>();
    report.trials().stream()
        .map(Trialled::run)
        .forEach(run -> products.add(run.product() + ", revision " + run.revision()));
    return products.size() == 1 ? products.iterator().next() : "";
  }

  private static List<String> facts(GaugeReport report) {
    List<String> facts = new ArrayList<>();
    facts.addAll(List.of("Units", some(report.units())));
    facts.addAll(List.of(word(report.by()) + "s", some(report.appraisers())));
    Study study = report.study();
    if (study != null) {
      facts.addAll(List.of("Repeats", String.valueOf(study.repeats())));
      facts.addAll(
          List.of("Trials", report.trials().size() + " of " + study.order().size() + " done"));
      facts.addAll(
          List.of("Order", "by lot, seed " + study.seed() + (study.blind() ? ", blind" : "")));
    }
    Set<String> stations = new TreeSet<>();
    report.trials().forEach(trial -> stations.add(trial.run().station()));
    facts.addAll(List.of("Station", String.join(", ", stations)));
    List<Instant> times =
        report.trials().stream().map(Trialled::run).map(RunRecord::started).sorted().toList();
    if (!times.isEmpty()) {
      facts.addAll(List.of("First run", MINUTE.format(times.get(0)) + " UTC"));
      facts.addAll(List.of("Last run", MINUTE.format(times.get(times.size() - 1)) + " UTC"));
    }
    facts.addAll(List.of("Calibration", calibration(report)));
    return facts;
  }

  /** What all trials rest on, or how many of them on none. */
  static String calibration(GaugeReport report) {
    return BatchPages.calibration(report.trials().stream().map(Trialled::run).toList());
  }

  private static String word(Study.By by) {
    String word = by.toString();
    return word.substring(0, 1).toUpperCase(Locale.ROOT) + word.substring(1);
  }

  private static String some(List<String> names) {
    int more = names.size() - MOST_NAMES;
    return String.join(", ", names.stream().limit(MOST_NAMES).toList())
        + (more > 0 ? " and " + more + " more" : "");
  }

  private static List<BatchSheet.Chart> charts(GaugeReport report) {
    Map<String, Integer> ofName = new HashMap<>();
    List<GaugeResult> limited = report.limited();
    return (limited.isEmpty() ? report.results() : limited)
        .stream()
            .filter(r -> r.anova() != null)
            .filter(r -> ofName.merge(r.series().name(), 1, Integer::sum) <= MOST_OF_A_NAME)
            .limit(MOST_CHARTS)
            .map(
                r ->
                    new BatchSheet.Chart(
                        GaugeDrawing.inline(chart(report, r)),
                        "Readings of " + r.series().title() + " by unit and by appraiser"))
            .toList();
  }

  private static GaugeChart chart(GaugeReport report, GaugeResult result) {
    GaugeSeries series = result.series();
    GaugeData data = result.data();
    GaugeByAnova anova = result.anova();
    GaugeBounds bounds = result.bounds();
    if (data == null || anova == null || bounds == null) {
      throw new IllegalArgumentException("nothing to draw of " + series.title());
    }
    GaugeSpread spread = anova.spread();
    List<GaugeChart.Part> parts = new ArrayList<>();
    parts.add(part(series, "station in all", true, spread.gauge(), anova.gaugeBounds()));
    parts.add(
        part(series, "repeatability", true, spread.repeatability(), anova.repeatabilityBounds()));
    parts.add(
        part(series, "reproducibility", true, spread.reproducibility(), bounds.reproducibility()));
    if (!anova.pooled()) {
      parts.add(part(series, "interaction", true, spread.interaction(), bounds.interaction()));
    }
    parts.add(part(series, "units", false, spread.unitVariation(), anova.unitBounds()));
    return new GaugeChart(
        what(series),
        series.conditions().toString(),
        series.unit(),
        report.units().stream().filter(data.units()::contains).toList(),
        report.appraisers().stream().filter(data.appraisers()::contains).toList(),
        series.readings().stream()
            .filter(r -> data.units().contains(r.unit()))
            .map(r -> new GaugeChart.Reading(r.unit(), r.appraiser(), r.value()))
            .toList(),
        series.low(),
        series.high(),
        parts);
  }

  private static GaugeChart.Part part(
      GaugeSeries series, String name, boolean own, double value, Interval bounds) {
    String words =
        series.show(value)
            + "  ("
            + series.show(bounds.low())
            + " to "
            + series.show(bounds.high())
            + ")";
    return new GaugeChart.Part(name, own, value, bounds.low(), bounds.high(), words);
  }

  private static GaugeSheet.Line line(GaugeResult result) {
    GaugeSeries series = result.series();
    GaugeByAnova anova = result.anova();
    String what = what(series);
    String when = series.conditions().toString();
    String remarks = String.join(", ", result.remarks());
    if (anova == null) {
      return new GaugeSheet.Line("", "", "", "", "", "", "", "", "", what, when, remarks);
    }
    GaugeSpread spread = anova.spread();
    GaugeAbility ability = result.ability();
    Interval bounds = ability == null ? null : ability.shareBounds();
    return new GaugeSheet.Line(
        bounds == null || ability == null ? "" : percent(ability.share()) + " %",
        bounds == null ? "" : percent(bounds.low()) + " to " + percent(bounds.high()) + " %",
        String.format(Locale.ROOT, "%.0f %%", 100 * spread.shareOfTotal()),
        String.valueOf(result.categories()),
        series.show(spread.gauge(), 2),
        series.show(spread.repeatability(), 2),
        series.show(Math.hypot(spread.reproducibility(), spread.interaction()), 2),
        series.show(spread.unitVariation(), 2),
        result.ranges() == null ? "" : series.show(result.ranges().spread().gauge(), 2),
        what,
        when,
        remarks);
  }

  private static String what(GaugeSeries series) {
    return series.at() == null ? series.name() : series.name() + " at " + series.at().display();
  }

  private static String percent(double part) {
    double hundreds = 100 * part;
    return String.format(Locale.ROOT, hundreds < 10 ? "%.1f" : "%.0f", hundreds);
  }
}
