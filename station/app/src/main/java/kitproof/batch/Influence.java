package kitproof.batch;

import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.limit.statistics.GroupDifference;
import kitproof.limit.statistics.Summary;
import kitproof.limit.statistics.Trend;
import org.jspecify.annotations.Nullable;

/**
 * Whether a result goes with something that is none of the unit's doing.
 *
 * @param kind with what
 * @param words what it does, for people: "moves by 12 mV an hour of the day"
 * @param probability of as much by chance, were the values normal and independent
 * @param line the line that was laid through the values; null of stations
 */
public record Influence(Kind kind, String words, double probability, @Nullable Trend line) {
  /** Results that tell of the supply, the better witness first. */
  public static final List<String> SUPPLY = List.of("mains voltage", "supply voltage", "hv");

  private static final int LEAST_IN_GROUP = 3;

  /** What a result may go with. */
  public enum Kind {
    STATION("station"),
    TIME_OF_DAY("time of day"),
    SUPPLY("supply voltage");

    private final String word;

    Kind(String word) {
      this.word = word;
    }

    /** The word in JSON and for people. */
    @Override
    public String toString() {
      return word;
    }
  }

  /** What the units' supply was, by serial number; of which result. */
  public record Supply(String name, Map<String, Double> byUnit) {
    public Supply {
      byUnit = Map.copyOf(byUnit);
    }

    /** The one that tells of it best among the results of a batch; empty if none does. */
    public static Optional<Supply> in(List<Series> all) {
      for (String name : SUPPLY) {
        for (Series series : all) {
          if (series.name().equals(name)) {
            Map<String, Double> byUnit = new HashMap<>();
            series.points().forEach(point -> byUnit.put(point.serial(), point.value()));
            return Optional.of(new Supply(series.title(), byUnit));
          }
        }
      }
      return Optional.empty();
    }
  }

  /**
   * All that the number of values allows to be told, whether it is hardly chance or not.
   *
   * @param zone whose time of day is meant
   */
  public static List<Influence> of(Series series, Optional<Supply> supply, ZoneId zone) {
    List<Influence> found = new ArrayList<>();
    station(series).ifPresent(found::add);
    line(Kind.TIME_OF_DAY, hours(series, zone), series.values(), series, " an hour of the day")
        .ifPresent(found::add);
    supply
        .filter(witness -> !witness.name().equals(series.title()))
        .flatMap(witness -> supply(series, witness))
        .ifPresent(found::add);
    return found;
  }

  /** When each value was measured, in hours of the day. */
  public static double[] hours(Series series, ZoneId zone) {
    return series.points().stream()
        .mapToDouble(p -> hour(ZonedDateTime.ofInstant(p.started(), zone)))
        .toArray();
  }

  private static double hour(ZonedDateTime time) {
    return time.toLocalTime().toSecondOfDay() / 3600.0;
  }

  private static Optional<Influence> station(Series series) {
    Map<String, List<Double>> groups = new LinkedHashMap<>();
    for (Series.Point point : series.points()) {
      groups.computeIfAbsent(point.station(), s -> new ArrayList<>()).add(point.value());
    }
    groups.values().removeIf(values -> values.size() < LEAST_IN_GROUP);
    if (groups.size() < 2) {
      return Optional.empty();
    }
    GroupDifference difference =
        GroupDifference.of(
            groups.values().stream()
                .map(values -> values.stream().mapToDouble(v -> v).toArray())
                .toList());
    return Optional.of(
        new Influence(
            Kind.STATION,
            "differs by " + series.show(difference.spread()) + " between stations",
            difference.probability(),
            null));
  }

  private static Optional<Influence> supply(Series series, Supply supply) {
    List<Series.Point> known =
        series.points().stream().filter(p -> supply.byUnit.containsKey(p.serial())).toList();
    double[] x = known.stream().mapToDouble(p -> supply.byUnit.get(p.serial())).toArray();
    double[] y = known.stream().mapToDouble(Series.Point::value).toArray();
    return line(Kind.SUPPLY, x, y, series, " a volt of " + supply.name());
  }

  private static Optional<Influence> line(
      Kind kind, double[] x, double[] y, Series series, String per) {
    if (x.length < SeriesReport.TREND_LEAST || Summary.of(x).standardDeviation() == 0) {
      return Optional.empty();
    }
    Trend trend = Trend.of(x, y);
    return Optional.of(
        new Influence(
            kind, "moves by " + series.show(trend.slope()) + per, trend.probability(), trend));
  }

  /** Whether it is hardly chance. */
  public boolean isClear() {
    return probability < SeriesReport.SIGNIFICANCE;
  }
}
