package kitproof.batch;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import kitproof.journal.RunRecord;
import kitproof.limit.statistics.Drift;
import kitproof.limit.statistics.Interval;
import kitproof.value.Conditions;
import kitproof.value.Unit;

/**
 * The drift of a result over a batch, told apart by the check standard: what the station drifts is
 * what it says of a thing that does not change; the rest is the units'.
 *
 * @param series of the units
 * @param standard the check standard's serial number
 * @param reference which of its results the station's drift was found by, for people
 * @param station where all of this was measured
 * @param checks how many runs of the check standard
 * @param ofUnits drift of the units as measured, per day
 * @param ofStation drift of the station, per day
 */
public record StationDrift(
    Series series,
    String standard,
    String reference,
    String station,
    int checks,
    Drift ofUnits,
    Drift ofStation) {
  /** Fewer values tell no slope that could be believed. */
  static final int LEAST = 4;

  /** What a check of the path alone calls the level that came back over what was played. */
  private static final String LOOP_LEVEL = "loop level";

  private static final String GAIN = "gain";

  /** Where gains are measured, if checks are made at several frequencies. */
  private static final String MIDDLE = "1 kHz";

  private static final String CHANNEL = "channel";
  private static final double SECONDS_A_DAY = 86_400;

  /** What is left for the units when the station's drift is taken away, per day. */
  public Drift less() {
    return ofUnits.less(ofStation);
  }

  /** What a drift amounts to. */
  public enum Whose {
    NOBODYS("no drift that could not be chance"),
    STATIONS("the station drifts, not the units"),
    UNITS("the units drift, not the station"),
    BOTH("the station and the units drift"),
    /** The units' drift stands out only before the station's is taken away, or only after. */
    UNCLEAR("a drift that cannot be told apart yet: more runs of the check standard would");

    private final String words;

    Whose(String words) {
      this.words = words;
    }

    @Override
    public String toString() {
      return words;
    }
  }

  /** Whose the drift is, at the significance of all remarks on a batch. */
  public Whose whose() {
    boolean station = ofStation.probability() < SeriesReport.SIGNIFICANCE;
    boolean units = less().probability() < SeriesReport.SIGNIFICANCE;
    if (station) {
      return units ? Whose.BOTH : Whose.STATIONS;
    }
    if (units) {
      return Whose.UNITS;
    }
    return ofUnits.probability() < SeriesReport.SIGNIFICANCE ? Whose.UNCLEAR : Whose.NOBODYS;
  }

  /**
   * One sentence: "the station drifts, not the units: by -0.02 dB a day (95 %: … to …), the units,
   * with that taken off, by …".
   */
  public String words() {
    return whose()
        + ": by check standard "
        + standard
        + " ("
        + reference
        + ", "
        + checks
        + " runs) the station "
        + said(ofStation)
        + ", the units, with that taken off, "
        + said(less());
  }

  private String said(Drift drift) {
    Interval bounds = drift.bounds(SeriesReport.CONFIDENCE);
    return series.show(drift.slope())
        + " a day (95 %: "
        + series.show(bounds.low())
        + " to "
        + series.show(bounds.high())
        + ")";
  }

  /**
   * Tells apart what can be told apart: every result of the units of which the check standard has
   * the same under the same conditions, or, of a check of the path alone, the level that came back,
   * which stands for gains.
   *
   * @param all the batch's results
   * @param checks runs of check standards
   */
  public static List<StationDrift> of(List<Series> all, List<RunRecord> checks) {
    return checks.isEmpty() ? List.of() : apart(all, Series.ofChecks(checks));
  }

  /**
   * The same of results of check standards that have been collected.
   *
   * @param standards each with a point for each run of a check standard
   */
  public static List<StationDrift> apart(List<Series> all, List<Series> standards) {
    List<StationDrift> drifts = new ArrayList<>();
    for (Series series : all) {
      List<String> stations =
          series.points().stream().map(Series.Point::station).distinct().sorted().toList();
      for (String station : stations) {
        of(series, station, standards).ifPresent(drifts::add);
      }
    }
    return drifts;
  }

  private static Optional<StationDrift> of(Series series, String station, List<Series> standards) {
    List<Series.Point> units = at(station, series);
    if (units.size() < LEAST || spread(units) == 0) {
      return Optional.empty();
    }
    for (Series standard : references(series, standards)) {
      List<Series.Point> checks = around(units, at(station, standard));
      if (checks.size() >= LEAST && spread(checks) > 0) {
        Instant from = units.get(0).started();
        return Optional.of(
            new StationDrift(
                series,
                checks.get(0).serial(),
                standard.title(),
                station,
                checks.size(),
                drift(units, from),
                drift(checks, from)));
      }
    }
    return Optional.empty();
  }

  /** Whether a check standard's result of this name could tell of the units' result. */
  public static boolean mayTell(String standard, String result) {
    return standard.equals(result) || (result.equals(GAIN) && standard.equals(LOOP_LEVEL));
  }

  /** The same result first, then what stands for it. */
  private static List<Series> references(Series series, List<Series> standards) {
    List<Series> found = new ArrayList<>();
    for (Series standard : standards) {
      if (standard.name().equals(series.name())
          && standard.conditions().equals(series.conditions())
          && standard.unit() == series.unit()) {
        found.add(standard);
      }
    }
    if (series.name().equals(GAIN) && series.unit() == Unit.DECIBEL) {
      standards.stream()
          .filter(s -> s.name().equals(LOOP_LEVEL) && s.unit() == Unit.DECIBEL)
          .filter(s -> sameChannel(s.conditions(), series.conditions()))
          .sorted(Comparator.comparing(s -> !s.conditions().values().containsValue(MIDDLE)))
          .forEach(found::add);
    }
    return found;
  }

  private static boolean sameChannel(Conditions one, Conditions other) {
    String channel = one.values().get(CHANNEL);
    return channel != null && channel.equals(other.values().get(CHANNEL));
  }

  private static List<Series.Point> at(String station, Series series) {
    return series.points().stream()
        .filter(p -> p.station().equals(station))
        .sorted(Comparator.comparing(Series.Point::started))
        .toList();
  }

  /** The checks of one standard from the last before the units to the first after them. */
  private static List<Series.Point> around(List<Series.Point> units, List<Series.Point> checks) {
    Instant first = units.get(0).started();
    Instant last = units.get(units.size() - 1).started();
    Instant from =
        checks.stream()
            .map(Series.Point::started)
            .filter(t -> !t.isAfter(first))
            .max(Comparator.naturalOrder())
            .orElse(first);
    Instant to =
        checks.stream()
            .map(Series.Point::started)
            .filter(t -> !t.isBefore(last))
            .min(Comparator.naturalOrder())
            .orElse(last);
    List<Series.Point> near =
        checks.stream()
            .filter(p -> !p.started().isBefore(from) && !p.started().isAfter(to))
            .sorted(Comparator.comparing(Series.Point::started))
            .toList();
    return near.stream().filter(p -> p.serial().equals(near.get(0).serial())).toList();
  }

  private static long spread(List<Series.Point> points) {
    return points.stream().map(Series.Point::started).distinct().count() - 1;
  }

  private static Drift drift(List<Series.Point> points, Instant from) {
    double[] days =
        points.stream()
            .mapToDouble(p -> (p.started().toEpochMilli() - from.toEpochMilli()) / 1e3)
            .map(seconds -> seconds / SECONDS_A_DAY)
            .toArray();
    return Drift.of(days, points.stream().mapToDouble(Series.Point::value).toArray());
  }
}
