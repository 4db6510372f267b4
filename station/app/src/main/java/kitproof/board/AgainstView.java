package kitproof.board;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import kitproof.batch.Influence;
import kitproof.batch.Series;
import kitproof.limit.Judgement;
import kitproof.limit.statistics.Trend;
import org.jspecify.annotations.Nullable;

/**
 * Values held against something that is none of the units' doing.
 *
 * @param kind against what: "station", "time of day", "supply voltage"
 * @param axis what x is, for people
 * @param unit of x; empty of stations
 * @param names of the stations at x = 0, 1, …; empty of all else
 * @param words what the values do, or why that cannot be told
 * @param probability of as much by chance; null if it cannot be told
 * @param clear whether it is hardly chance
 * @param line through the values; null if there is none
 * @param dots some of the values, evenly chosen if there are too many
 */
public record AgainstView(
    String kind,
    String axis,
    String unit,
    List<String> names,
    String words,
    @Nullable Double probability,
    boolean clear,
    @Nullable Line line,
    List<Dot> dots) {
  /** As many as a chart has room for. */
  static final int MOST = 400;

  /** y = intercept + slope · x. */
  public record Line(double slope, double intercept) {}

  /** A unit's value. */
  public record Dot(double x, double y, String unit, boolean passed) {}

  /** What is against what: x of each value, not a number where it is not known. */
  private record Axis(
      Influence.Kind kind,
      String words,
      String unit,
      List<String> names,
      double[] xs,
      String without) {}

  /**
   * Against station, time of day and supply voltage.
   *
   * @param outcomes what was judged of the series' values
   * @param told what the report of the batch says of them
   */
  static List<AgainstView> of(
      Series series,
      List<Judgement.Outcome> outcomes,
      List<Influence> told,
      Optional<Influence.Supply> supply,
      ZoneId zone) {
    List<String> stations =
        List.copyOf(
            series.points().stream()
                .map(Series.Point::station)
                .collect(java.util.stream.Collectors.toCollection(TreeSet::new)));
    List<Axis> axes = new ArrayList<>();
    axes.add(
        new Axis(
            Influence.Kind.STATION,
            "station",
            "",
            stations.stream().map(Fields::shorten).toList(),
            series.points().stream().mapToDouble(p -> stations.indexOf(p.station())).toArray(),
            stations.size() < 2 ? "all units on one station" : "too few units on each station"));
    axes.add(
        new Axis(
            Influence.Kind.TIME_OF_DAY,
            "hour of the day, " + zone.getId(),
            "h",
            List.of(),
            Influence.hours(series, zone),
            "too few units, or all at the same time"));
    supply
        .filter(witness -> !witness.name().equals(series.title()))
        .ifPresent(
            witness ->
                axes.add(
                    new Axis(
                        Influence.Kind.SUPPLY,
                        Fields.shorten(witness.name()),
                        "V",
                        List.of(),
                        series.points().stream()
                            .mapToDouble(p -> witness.byUnit().getOrDefault(p.serial(), Double.NaN))
                            .toArray(),
                        "too few units, or no spread")));
    List<AgainstView> against = new ArrayList<>();
    axes.forEach(axis -> against.add(of(axis, series, outcomes, told)));
    if (supply.isEmpty()) {
      against.add(noSupply());
    }
    return against;
  }

  private static AgainstView noSupply() {
    return new AgainstView(
        Influence.Kind.SUPPLY.toString(),
        "",
        "V",
        List.of(),
        "no unit has a result named " + String.join(" or ", Influence.SUPPLY),
        null,
        false,
        null,
        List.of());
  }

  private static AgainstView of(
      Axis axis, Series series, List<Judgement.Outcome> outcomes, List<Influence> told) {
    Influence found = told.stream().filter(one -> one.kind() == axis.kind).findFirst().orElse(null);
    Trend line = found == null ? null : found.line();
    int known = (int) Arrays.stream(axis.xs).filter(x -> !Double.isNaN(x)).count();
    int each = Math.max(1, (known + MOST - 1) / MOST);
    List<Dot> dots = new ArrayList<>();
    int seen = 0;
    for (int i = 0; i < axis.xs.length; i++) {
      if (!Double.isNaN(axis.xs[i]) && seen++ % each == 0) {
        Series.Point point = series.points().get(i);
        dots.add(
            new Dot(
                axis.xs[i],
                point.value(),
                Fields.shorten(point.serial()),
                !outcomes.get(i).fails()));
      }
    }
    return new AgainstView(
        axis.kind.toString(),
        axis.words,
        axis.unit,
        axis.names,
        found == null ? axis.without : Fields.shorten(found.words()),
        found == null ? null : (Double) found.probability(),
        found != null && found.isClear(),
        line == null ? null : new Line(line.slope(), line.intercept()),
        dots);
  }
}
