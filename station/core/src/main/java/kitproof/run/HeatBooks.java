package kitproof.run;

import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import kitproof.driver.BenchClock;
import kitproof.plan.Bench;
import kitproof.plan.TimeKind;

/**
 * The heat that the loads of benches took in earlier runs, so that a load which the last unit left
 * hot is not taken for a cold one.
 *
 * <p>Kept in memory only: a program that starts takes every load for cold. Runs on simulated
 * benches have nothing in common, neither loads nor time.
 */
public final class HeatBooks {
  private final Map<String, Book> books = new ConcurrentHashMap<>();

  /** A load's average, at a moment of calendar time. */
  private record Kept(double watts, Instant at) {}

  /** One bench's. */
  static final class Book {
    private final Map<String, Kept> loads = new ConcurrentHashMap<>();

    /** Takes a load's average as it is now. */
    void keep(String load, double watts, BenchClock clock) {
      loads.put(load, new Kept(watts, clock.now()));
    }

    /** Tells each load's average, and how long ago it was that. */
    void tell(BenchClock clock, Telling telling) {
      Instant now = clock.now();
      loads.forEach(
          (load, kept) -> {
            Duration ago = Duration.between(kept.at, now);
            telling.of(load, kept.watts, ago.isNegative() ? Duration.ZERO : ago);
          });
    }
  }

  /** Who wants to know. */
  interface Telling {
    void of(String load, double watts, Duration ago);
  }

  /** The book of this bench, known by its shop and station; a new one if its time is simulated. */
  Book of(Bench bench) {
    return bench.time() == TimeKind.SIMULATED
        ? new Book()
        : books.computeIfAbsent(bench.shop() + "/" + bench.station(), name -> new Book());
  }
}
