package kitproof.run;

import java.time.Duration;
import java.util.EnumMap;
import java.util.Map;
import java.util.function.LongSupplier;
import kitproof.driver.BenchClock;

/**
 * Where the seconds of a run go: by the bench's clock, and by real time.
 *
 * <p>The two differ on a simulated bench only. What is in none of the parts is the station's own
 * computing: preparing stimuli, analysing captures, judging, keeping the journal. Filled by the
 * run's thread; may be read by any.
 */
public final class Timing {
  /** What time can go into. */
  public enum Part {
    SIGNAL("signal"),
    SETTLING("settling"),
    INTERFACE("interface, beyond the signal"),
    READING("meter readings"),
    WAITING("waiting, as the plan says"),
    SWITCHING("switching"),
    PERSON("waiting for a person"),
    OPENING("opening, closing the bench");

    private final String words;

    Part(String words) {
      this.words = words;
    }

    /** For people. */
    @Override
    public String toString() {
      return words;
    }
  }

  /** Something that takes time. */
  interface Work<T, E extends Exception> {
    T run() throws E, InterruptedException;
  }

  private final BenchClock clock;
  private final LongSupplier ticker;
  private final long startBench;
  private final long startReal;
  private final Map<Part, Long> bench = new EnumMap<>(Part.class);
  private final Map<Part, Long> real = new EnumMap<>(Part.class);
  private long endBench;
  private long endReal;

  /**
   * Begins now.
   *
   * @param ticker real nanoseconds, never backwards
   */
  Timing(BenchClock clock, LongSupplier ticker) {
    this.clock = clock;
    this.ticker = ticker;
    startBench = clock.nanos();
    startReal = ticker.getAsLong();
    endBench = startBench;
    endReal = startReal;
  }

  /** Does the work and counts the time it takes, also if it fails. */
  <T, E extends Exception> T in(Part part, Work<T, E> work) throws E, InterruptedException {
    long benchBefore = clock.nanos();
    long realBefore = ticker.getAsLong();
    try {
      return work.run();
    } finally {
      add(part, clock.nanos() - benchBefore, ticker.getAsLong() - realBefore);
    }
  }

  private synchronized void add(Part part, long benchNanos, long realNanos) {
    bench.merge(part, benchNanos, Long::sum);
    real.merge(part, realNanos, Long::sum);
  }

  /** Counts as another part what was counted as one: no more than is there. */
  synchronized void move(Part from, Part to, Duration time) {
    move(bench, from, to, time.toNanos());
    move(real, from, to, time.toNanos());
  }

  private static void move(Map<Part, Long> times, Part from, Part to, long wanted) {
    long nanos = Math.max(0, Math.min(wanted, times.getOrDefault(from, 0L)));
    times.merge(from, -nanos, Long::sum);
    times.merge(to, nanos, Long::sum);
  }

  /** The run is over. */
  synchronized void end() {
    endBench = clock.nanos();
    endReal = ticker.getAsLong();
  }

  /** Bench time that went into a part. */
  public synchronized Duration bench(Part part) {
    return Duration.ofNanos(bench.getOrDefault(part, 0L));
  }

  /** Real time that went into a part. */
  public synchronized Duration real(Part part) {
    return Duration.ofNanos(real.getOrDefault(part, 0L));
  }

  /** Bench time of the whole run. */
  public synchronized Duration benchTotal() {
    return Duration.ofNanos(endBench - startBench);
  }

  /** Real time of the whole run. */
  public synchronized Duration realTotal() {
    return Duration.ofNanos(endReal - startReal);
  }

  /** Real time that the station took for itself. */
  public synchronized Duration computing() {
    long parts = real.values().stream().mapToLong(nanos -> nanos).sum();
    return Duration.ofNanos(Math.max(0, endReal - startReal - parts));
  }

  /** Bench time that went into none of the parts; computing, if the bench's time is real. */
  public synchronized Duration benchRest() {
    long parts = bench.values().stream().mapToLong(nanos -> nanos).sum();
    return Duration.ofNanos(Math.max(0, endBench - startBench - parts));
  }
}
