package kitproof.run;

import java.time.Duration;
import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.plan.Bench;
import kitproof.plan.LoadRating;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * The heat that loads have taken: the power in each, averaged with the time constant of its rating.
 * What would carry the average above the rating has to wait until the load has cooled. Routes to
 * one resistor share its heat.
 */
final class HeatBudget {
  private final Map<String, LoadRating> ratings;
  private final Map<String, Heat> heats = new HashMap<>();
  private final HeatBooks.Book book;
  private final @Nullable BenchClock clock;

  /** A resistor's average, at a moment of bench time. */
  private record Heat(double watts, long nanos) {}

  /** Of cold loads. */
  HeatBudget(Map<String, LoadRating> ratings) {
    this.ratings = Map.copyOf(ratings);
    this.book = new HeatBooks.Book();
    this.clock = null;
  }

  /** Of loads as hot as this book says, which goes on being kept. */
  HeatBudget(Map<String, LoadRating> ratings, HeatBooks.Book book, BenchClock clock) {
    this.ratings = Map.copyOf(ratings);
    this.book = book;
    this.clock = clock;
    long now = clock.nanos();
    book.tell(clock, (load, watts, ago) -> heats.put(load, new Heat(watts, now - ago.toNanos())));
  }

  boolean knows(String load) {
    return rating(load) != null;
  }

  /** In which book a load's heat is kept: its own, or that of a resistor it shares. */
  String book(String load) {
    LoadRating rating = rating(load);
    return rating == null ? load : rating.book(load);
  }

  /** Each channel's fixed load has a heat of its own; their rating is one. */
  static String fixedLoad(String channel) {
    return channel.isEmpty() ? Bench.FIXED_LOAD : Bench.FIXED_LOAD + ", " + channel;
  }

  private @Nullable LoadRating rating(String load) {
    return ratings.get(load.startsWith(Bench.FIXED_LOAD + ", ") ? Bench.FIXED_LOAD : load);
  }

  /**
   * How long a load must cool before it may take this.
   *
   * @throws InstrumentException RANGE if even a cold load would not stand it
   */
  Duration coolingBefore(String load, double watts, double seconds, long now)
      throws InstrumentException {
    LoadRating rating = rating(load);
    if (rating == null) {
      return Duration.ZERO;
    }
    double over = seconds(rating);
    double most = rating.power().in(Unit.WATT);
    double kept = Math.exp(-seconds / over);
    double left = (most - watts * (1 - kept)) / kept;
    if (left <= 0) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE,
          String.format(
              Locale.ROOT,
              "load \"%s\" would take %.1f W for %.1f s; it stands %s over %d s",
              load,
              watts,
              seconds,
              rating.power().display(),
              rating.over().toSeconds()));
    }
    double mean = meanWatts(load, now);
    return mean <= left
        ? Duration.ZERO
        : Duration.ofNanos((long) Math.ceil(over * Math.log(mean / left) * 1e9));
  }

  /** A load has taken this power until now. */
  void taken(String load, double watts, double seconds, long now) {
    LoadRating rating = rating(load);
    if (rating != null) {
      double kept = Math.exp(-seconds / seconds(rating));
      double before = meanWatts(load, now - Math.round(seconds * 1e9));
      double mean = watts + (before - watts) * kept;
      heats.put(rating.book(load), new Heat(mean, now));
      if (clock != null) {
        book.keep(rating.book(load), mean, clock);
      }
    }
  }

  /** The average power in a load, as it has cooled until now. */
  double meanWatts(String load, long now) {
    LoadRating rating = rating(load);
    Heat heat = heats.get(book(load));
    return rating == null || heat == null
        ? 0
        : heat.watts * Math.exp(-Math.max(0, now - heat.nanos) / 1e9 / seconds(rating));
  }

  private static double seconds(LoadRating rating) {
    return rating.over().toNanos() / 1e9;
  }
}
