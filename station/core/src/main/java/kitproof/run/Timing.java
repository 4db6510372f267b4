package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.function.LongSupplier;
import kitproof.driver.BenchClock;
import kitproof.value.Conditions;

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
  private final Map<Part, Duration> bench = new EnumMap<>(Part.class);
  private final Map<Part, Duration> real = new EnumMap<>(Part.class);
  private final List<StepTimes> steps = new ArrayList<>();
  private long endBench;
  private long endReal;
  private boolean over;

  /**
   * What one step took.
   *
   * @param step its name
   * @param conditions what it measured under
   */
  public record StepTimes(String step, Conditions conditions, Times times) {}

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

  /**
   * Plays a signal: as much of the time as it is long is the signal's, what is beyond it the
   * interface's. One that is broken off is the signal's as far as it came.
   */
  <T, E extends Exception> T playing(Duration signal, Work<T, E> work)
      throws E, InterruptedException {
    long benchBefore = clock.nanos();
    long realBefore = ticker.getAsLong();
    try {
      return work.run();
    } finally {
      long benchNanos = clock.nanos() - benchBefore;
      long realNanos = ticker.getAsLong() - realBefore;
      long benchSignal = Math.min(benchNanos, signal.toNanos());
      long realSignal = Math.min(realNanos, signal.toNanos());
      add(Part.SIGNAL, benchSignal, realSignal);
      add(Part.INTERFACE, benchNanos - benchSignal, realNanos - realSignal);
    }
  }

  private synchronized void add(Part part, long benchNanos, long realNanos) {
    bench.merge(part, Duration.ofNanos(benchNanos), Duration::plus);
    real.merge(part, Duration.ofNanos(realNanos), Duration::plus);
  }

  /** Counts as another part what was counted as one: no more than is there. */
  synchronized void move(Part from, Part to, Duration time) {
    move(bench, from, to, time);
    move(real, from, to, time);
  }

  private static void move(Map<Part, Duration> times, Part from, Part to, Duration wanted) {
    Duration there = times.getOrDefault(from, Duration.ZERO);
    Duration moved = wanted.compareTo(there) < 0 ? wanted : there;
    if (!moved.isNegative()) {
      times.merge(from, moved.negated(), Duration::plus);
      times.merge(to, moved, Duration::plus);
    }
  }

  /** A step has come to its end that began when so much had passed. */
  synchronized void stepOver(String step, Conditions conditions, Times before) {
    steps.add(new StepTimes(step, conditions, all().since(before)));
  }

  /** The run is over. */
  synchronized void end() {
    endBench = clock.nanos();
    endReal = ticker.getAsLong();
    over = true;
  }

  /** Everything from the beginning until now, or until the end. */
  public synchronized Times all() {
    long benchNow = over ? endBench : clock.nanos();
    long realNow = over ? endReal : ticker.getAsLong();
    return new Times(
        bench,
        real,
        Duration.ofNanos(benchNow - startBench),
        Duration.ofNanos(realNow - startReal));
  }

  /** The steps that were done, in order. */
  public synchronized List<StepTimes> steps() {
    return List.copyOf(steps);
  }
}
