package kitproof.batch;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Limit;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * One result with a single quantity over the units of a batch, each by its last attempt.
 * Differences from several reference units are several series, whose conditions name the unit.
 *
 * @param name of the result
 * @param conditions it holds under
 * @param unit of the values
 * @param limit the last one it was judged by, or null
 * @param limitChanged whether other units were judged by another
 * @param points by the start of their runs
 */
public record Series(
    String name,
    Conditions conditions,
    Unit unit,
    Limit.@Nullable Scalar limit,
    boolean limitChanged,
    List<Point> points) {
  public Series {
    points = List.copyOf(points);
  }

  /**
   * What one unit measured.
   *
   * @param serial of the unit
   * @param station where
   * @param started when its run began
   * @param value in the unit of the series
   */
  public record Point(String serial, String station, Instant started, double value) {}

  private record Key(String name, Conditions conditions, Unit unit, String chosen) {}

  /** Collects a series. */
  private static final class Growing {
    private Limit.@Nullable Scalar limit;
    private boolean changed;
    private final Map<String, Point> points = new LinkedHashMap<>();
  }

  /** Every such result of a batch, in the order of the plan. */
  public static List<Series> of(Batch batch) {
    Map<Key, Growing> found = new LinkedHashMap<>();
    for (UnitHistory unit : batch.units()) {
      unit.last().ifPresent(run -> collect(run, run.unit(), found));
    }
    return series(found);
  }

  /** Every such result of a check standard, of each of its runs that came to its end. */
  static List<Series> ofChecks(List<RunRecord> runs) {
    Map<Key, Growing> found = new LinkedHashMap<>();
    for (RunRecord run : runs) {
      if (run.verdict() == Verdict.PASS || run.verdict() == Verdict.FAIL) {
        collect(run, run.run(), found);
      }
    }
    return series(found);
  }

  private static List<Series> series(Map<Key, Growing> found) {
    List<Series> series = new ArrayList<>();
    List<String> chosen = new ArrayList<>();
    found.forEach(
        (key, grown) -> {
          series.add(series(key, grown));
          chosen.add(key.chosen);
        });
    return apart(series, chosen);
  }

  /**
   * Names the reference unit in the conditions of those series that nothing else tells apart.
   *
   * @param chosen that of each, empty where there is none
   */
  public static List<Series> apart(List<Series> series, List<String> chosen) {
    Map<Key, Integer> alike = new HashMap<>();
    series.forEach(one -> alike.merge(one.key(), 1, Integer::sum));
    List<Series> apart = new ArrayList<>();
    for (int i = 0; i < series.size(); i++) {
      Series one = series.get(i);
      boolean alone = alike.getOrDefault(one.key(), 0) < 2 || chosen.get(i).isEmpty();
      apart.add(alone ? one : one.under(AgainstUnit.apart(one.conditions, chosen.get(i))));
    }
    return apart;
  }

  private Key key() {
    return new Key(name, conditions, unit, "");
  }

  private Series under(Conditions other) {
    return new Series(name, other, unit, limit, limitChanged, points);
  }

  private static Series series(Key key, Growing grown) {
    return new Series(
        key.name,
        key.conditions,
        key.unit,
        grown.limit,
        grown.changed,
        List.copyOf(grown.points.values()));
  }

  private static void collect(RunRecord run, String by, Map<Key, Growing> found) {
    for (RunRecord.Step step : run.steps()) {
      for (RunRecord.Result result : step.results()) {
        if (result.measurement().figure() instanceof Figure.OfQuantity one) {
          Quantity value = one.quantity();
          Key key =
              new Key(
                  result.measurement().name(),
                  result.measurement().conditions(),
                  value.unit(),
                  AgainstUnit.chosen(result.measurement()));
          Growing growing = found.computeIfAbsent(key, k -> new Growing());
          // A result measured twice in a run counts as it was measured last.
          growing.points.put(
              by, new Point(run.unit(), run.station(), run.started(), value.value()));
          if (result.judgement().limit() instanceof Limit.Scalar limit) {
            growing.changed |= growing.limit != null && !growing.limit.equals(limit);
            growing.limit = limit;
          }
        }
      }
    }
  }

  /** "gain (mode triode, tap 8 ohm)". */
  public String title() {
    return conditions.isEmpty() ? name : name + " (" + conditions + ")";
  }

  /** The values in their order. */
  public double[] values() {
    return points.stream().mapToDouble(Point::value).toArray();
  }

  /** The lowest good value in the unit of the series, or null. */
  public @Nullable Double low() {
    Quantity low = limit == null ? null : limit.low();
    return low == null || low.unit() != unit ? null : low.value();
  }

  /** The highest good value in the unit of the series, or null. */
  public @Nullable Double high() {
    Quantity high = limit == null ? null : limit.high();
    return high == null || high.unit() != unit ? null : high.value();
  }

  String show(double value) {
    return Quantity.of(value, unit).display();
  }
}
