package kitproof.batch;

import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.limit.statistics.Capability;
import kitproof.limit.statistics.IndividualsChart;
import kitproof.limit.statistics.NormalityTest;
import kitproof.limit.statistics.Outliers;
import kitproof.limit.statistics.RuleMark;
import kitproof.limit.statistics.SubgroupChart;
import kitproof.limit.statistics.Summary;
import kitproof.limit.statistics.Trend;
import org.jspecify.annotations.Nullable;

/**
 * What the values of one result tell.
 *
 * @param series the values
 * @param summary null for a single value
 * @param capability null without a limit or without spread
 * @param normality null below {@link NormalityTest#LEAST} values or without spread
 * @param outliers units unlike their sisters, by the generalised ESD test, even inside the limits
 * @param trend over the order of measurement; null below {@value #TREND_LEAST} values
 * @param marks where run rules' patterns end, below {@link NormalityTest#LEAST} values none
 * @param influences of station, time of day and supply voltage, as far as they can be told
 * @param subgroups X̄-R chart of units in a row; null if not asked for or too few
 * @param warnings why the figures may mislead, for people
 */
public record SeriesReport(
    Series series,
    @Nullable Summary summary,
    @Nullable Capability capability,
    @Nullable NormalityTest normality,
    List<Series.Point> outliers,
    @Nullable Trend trend,
    List<RuleMark> marks,
    List<Influence> influences,
    @Nullable SubgroupChart subgroups,
    List<String> warnings) {
  /** Confidence of all bounds. */
  public static final double CONFIDENCE = 0.95;

  /** Fewer values tell little of a spread: common practice, no source. */
  public static final int FEW = 25;

  /**
   * How rare a pattern must be to be told. A batch has a hundred results, so one in twenty would be
   * mostly chance.
   */
  public static final double SIGNIFICANCE = 0.01;

  static final int TREND_LEAST = 6;
  private static final int OUTLIERS_LEAST = 6;
  private static final int MOST_OUTLIERS = 10;

  public SeriesReport {
    outliers = List.copyOf(outliers);
    marks = List.copyOf(marks);
    influences = List.copyOf(influences);
    warnings = List.copyOf(warnings);
  }

  /** Works out everything of each that the number of values allows. */
  public static List<SeriesReport> of(List<Series> all, ZoneId zone, int subgroup) {
    Optional<Influence.Supply> supply = Influence.Supply.in(all);
    return all.stream().map(series -> of(series, supply, zone, subgroup)).toList();
  }

  /** Works out everything that the values of one result tell by themselves. */
  public static SeriesReport of(Series series) {
    return of(series, Optional.empty(), ZoneOffset.UTC, 0);
  }

  /** The X̄-R chart of so many units in a row; what is left over at the end is left out. */
  public static @Nullable SubgroupChart subgroups(Series series, int size) {
    List<List<Double>> groups = new ArrayList<>();
    List<Double> values = series.points().stream().map(Series.Point::value).toList();
    for (int i = 0; size > 1 && i + size <= values.size(); i += size) {
      groups.add(values.subList(i, i + size));
    }
    return groups.size() < 2 ? null : SubgroupChart.of(groups);
  }

  /**
   * Works out everything of one result.
   *
   * @param supply what the units' supply was, if it is known
   * @param zone whose time of day is meant
   * @param subgroup units in a row that make a group; 0 for none
   */
  public static SeriesReport of(
      Series series, Optional<Influence.Supply> supply, ZoneId zone, int subgroup) {
    double[] values = series.values();
    Summary summary = values.length < 2 ? null : Summary.of(values);
    boolean spread = summary != null && summary.standardDeviation() > 0;
    NormalityTest normality =
        spread && values.length >= NormalityTest.LEAST ? NormalityTest.of(values) : null;
    return new SeriesReport(
        series,
        summary,
        spread && summary != null ? capability(series, summary) : null,
        normality,
        outliers(series, values),
        values.length < TREND_LEAST ? null : Trend.inOrder(values),
        spread && values.length >= NormalityTest.LEAST
            ? IndividualsChart.of(values).marks(RuleMark.FOUR_ZONE_RULES)
            : List.of(),
        spread ? Influence.of(series, supply, zone) : List.of(),
        spread ? subgroups(series, subgroup) : null,
        warnings(series, values.length, spread, normality));
  }

  private static @Nullable Capability capability(Series series, Summary summary) {
    Double low = series.low();
    Double high = series.high();
    boolean none = low == null && high == null;
    boolean point = low != null && high != null && !(low < high);
    return none || point ? null : Capability.of(summary, low, high, CONFIDENCE);
  }

  private static List<Series.Point> outliers(Series series, double[] values) {
    if (values.length < OUTLIERS_LEAST) {
      return List.of();
    }
    int most = Math.min(MOST_OUTLIERS, Math.max(1, values.length / 3));
    return Outliers.find(values, most, SIGNIFICANCE).indices().stream()
        .map(i -> series.points().get(i))
        .toList();
  }

  private static List<String> warnings(
      Series series, int count, boolean spread, @Nullable NormalityTest normality) {
    List<String> warnings = new ArrayList<>();
    if (count < FEW) {
      warnings.add("few data");
    }
    if (count > 1 && !spread) {
      warnings.add("no spread");
    }
    if (normality != null && normality.probability() < SIGNIFICANCE) {
      warnings.add("not normal");
    }
    if (series.limitChanged()) {
      warnings.add("limits differ between units");
    }
    return warnings;
  }

  /** The trend if it is hardly chance, else null. */
  public @Nullable Trend clearTrend() {
    return trend != null && trend.probability() < SIGNIFICANCE ? trend : null;
  }
}
