package kitproof.board;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.TreeMap;
import kitproof.batch.BatchText;
import kitproof.batch.Influence;
import kitproof.batch.Series;
import kitproof.batch.SeriesReport;
import kitproof.batch.StationDrift;
import kitproof.limit.Judgement;
import kitproof.limit.statistics.Capability;
import kitproof.limit.statistics.ControlLimits;
import kitproof.limit.statistics.IndividualsChart;
import kitproof.limit.statistics.NormalityTest;
import kitproof.limit.statistics.RuleMark;
import kitproof.limit.statistics.Summary;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** What a batch's values of one result tell: the same figures and words as in its report. Pure. */
final class AcrossStatistics {
  private AcrossStatistics() {}

  /**
   * What is to be told of.
   *
   * @param series in the order of testing
   * @param numbers of their units in that order, from 1
   * @param outcomes what was judged of them
   * @param single whether the chart has a point for each unit, so that rules can be marked
   * @param supply what the units' supply was
   * @param checks what check standards measured
   * @param asked how it is to be told
   */
  record Values(
      Series series,
      List<Integer> numbers,
      List<Judgement.Outcome> outcomes,
      boolean single,
      Optional<Influence.Supply> supply,
      List<Series> checks,
      Across asked) {}

  /** Reckons; null with fewer than two values. */
  static AcrossView.@Nullable Statistics of(Values told) {
    Series series = told.series;
    Across asked = told.asked;
    SeriesReport report = SeriesReport.of(series, told.supply, asked.zone(), asked.subgroup());
    Summary summary = report.summary();
    if (summary == null) {
      return null;
    }
    ControlLimits limits =
        series.points().size() < NormalityTest.LEAST || !(summary.standardDeviation() > 0)
            ? null
            : IndividualsChart.of(series.values()).limits();
    return new AcrossView.Statistics(
        limits == null ? null : limits.centre(),
        limits == null ? null : limits.lower(),
        limits == null ? null : limits.upper(),
        facts(series, summary, report.capability()),
        BatchText.remarks(report).stream().map(Fields::shorten).toList(),
        report.warnings(),
        told.single ? marks(report.marks(), told.numbers) : List.of(),
        report.subgroups() == null ? null : GroupsView.of(series, report.subgroups()),
        AgainstView.of(series, told.outcomes, report.influences(), told.supply, asked.zone()),
        StationDrift.apart(List.of(series), told.checks).stream()
            .map(AcrossStatistics::drift)
            .toList());
  }

  private static AcrossView.Drift drift(StationDrift drift) {
    return new AcrossView.Drift(
        Fields.shorten(drift.station()), drift.whose().toString(), Fields.shorten(drift.words()));
  }

  private static List<AcrossView.Fact> facts(
      Series series, Summary summary, @Nullable Capability capability) {
    List<AcrossView.Fact> facts = new ArrayList<>();
    facts.add(new AcrossView.Fact("Mean", show(series, summary.mean()), ""));
    facts.add(
        new AcrossView.Fact("Standard deviation", show(series, summary.standardDeviation()), ""));
    if (capability != null) {
      Double cp = capability.cp();
      if (cp != null) {
        facts.add(new AcrossView.Fact("Cp", text("%.2f", cp), ""));
      }
      facts.add(
          new AcrossView.Fact(
              "Cpk",
              text("%.2f", capability.cpk()),
              text(
                  "%.2f to %.2f with %.0f %% confidence",
                  capability.cpkBounds().low(),
                  capability.cpkBounds().high(),
                  100 * SeriesReport.CONFIDENCE)));
    }
    return facts;
  }

  private static List<AcrossView.Mark> marks(List<RuleMark> marks, List<Integer> numbers) {
    TreeMap<Integer, List<String>> rules = new TreeMap<>();
    for (RuleMark mark : marks) {
      rules
          .computeIfAbsent(numbers.get(mark.index()), number -> new ArrayList<>())
          .add(mark.rule().toString());
    }
    return rules.entrySet().stream()
        .map(entry -> new AcrossView.Mark(entry.getKey(), entry.getValue()))
        .toList();
  }

  private static String show(Series series, double value) {
    return Quantity.of(value, series.unit()).display();
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
