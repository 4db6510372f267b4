package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;
import kitproof.interlock.TurnClock;
import org.jspecify.annotations.Nullable;

/**
 * Reads a meter while signals play: in real time on a thread of its own, on a simulated bench in
 * turns of its clock, so that runs are repeatable.
 *
 * <p>An interface takes longer for an exchange than its signal lasts, and does not tell when in
 * that time the signal was on. A reading counts only if it fits wherever the signal lay. A meter
 * that fails breaks the signal off, and its failure is what the exchange then throws.
 */
final class ReadingsBeside implements PlayingBeside, TurnClock.Errand {
  private static final Duration SLICE = Duration.ofMillis(20);
  private static final long JOIN_MILLIS = 50;

  /** A meter's call. */
  interface Source {
    Reading read(String function) throws InstrumentException;
  }

  private final Source meter;
  private final String function;
  private final long from;
  private final long every;
  private final BenchClock clock;
  private final @Nullable TurnClock turns;
  private final Runnable beat;
  private final List<Reading> counting = new ArrayList<>();
  private final List<Taken> taken = new ArrayList<>();
  private long longest;
  private long beyond;
  private long began;
  private long signal;
  private long next;
  private boolean over = true;
  private @Nullable InstrumentException failure;
  private @Nullable Thread thread;

  /** A reading with the bench time of its beginning and end. */
  private record Taken(Reading reading, long began, long ended) {}

  /**
   * Prepares.
   *
   * @param from how long a signal has been on before a reading counts
   * @param every from one reading to the next, at least
   * @param turns the simulated bench's clock; null in real time
   * @param beat a sign of the step's life
   */
  ReadingsBeside(
      Source meter,
      String function,
      Duration from,
      Duration every,
      BenchClock clock,
      @Nullable TurnClock turns,
      Runnable beat) {
    this.meter = meter;
    this.function = function;
    this.from = from.toNanos();
    this.every = every.toNanos();
    this.clock = clock;
    this.turns = turns;
    this.beat = beat;
  }

  /** Those that count, in order. */
  synchronized List<Reading> counting() {
    return List.copyOf(counting);
  }

  /** The most that a reading took. */
  synchronized Duration longestReading() {
    return Duration.ofNanos(longest);
  }

  /** The most that an exchange took beyond its signal. */
  synchronized Duration beyondSignal() {
    return Duration.ofNanos(beyond);
  }

  @Override
  public void begin(Duration length) {
    synchronized (this) {
      taken.clear();
      signal = length.toNanos();
      began = clock.nanos();
      next = began + from;
      over = false;
    }
    if (turns != null) {
      turns.errand(this);
    } else {
      Thread reader = new Thread(this::readOn, "kitproof-readings-beside");
      reader.setDaemon(true);
      thread = reader;
      reader.start();
    }
  }

  private void readOn() {
    try {
      for (long due = due(); due < Long.MAX_VALUE; due = due()) {
        long left = due - clock.nanos();
        if (left <= 0) {
          run();
        } else {
          clock.sleep(Duration.ofNanos(Math.min(left, SLICE.toNanos())));
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt(); // the signal was broken off
    }
  }

  /** The next reading that can still be over before the signal is. */
  @Override
  public synchronized long due() {
    boolean fits = Math.max(next, clock.nanos()) + longest <= began + signal;
    return over || failure != null || !fits ? Long.MAX_VALUE : next;
  }

  @Override
  public void run() {
    long asked = clock.nanos();
    try {
      add(new Taken(meter.read(function), asked, clock.nanos()));
    } catch (InstrumentException e) {
      fail(e);
    }
  }

  private synchronized void add(Taken reading) {
    taken.add(reading);
    longest = Math.max(longest, reading.ended - reading.began);
    next = Math.max(reading.began + every, reading.ended);
  }

  private synchronized void fail(InstrumentException why) {
    if (!over) {
      failure = why;
      if (turns != null) {
        Thread.currentThread().interrupt(); // in a turn it is the player who reads
      }
    }
  }

  private synchronized @Nullable InstrumentException failure() {
    return failure;
  }

  @Override
  public void look() {
    if (turns == null && failure() != null) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void end() throws InstrumentException {
    long ended = clock.nanos();
    stop(false);
    InstrumentException failed = failure();
    if (failed != null) {
      var unused = Thread.interrupted(); // its own, see look
      throw failed;
    }
    count(ended);
  }

  /** Wherever in its exchange the signal began, it was on from one end's latest to the other's. */
  private synchronized void count(long ended) {
    long more = Math.max(0, ended - began - signal);
    beyond = Math.max(beyond, more);
    for (Taken one : taken) {
      if (one.began >= began + more + from && one.ended <= began + signal) {
        counting.add(one.reading);
      }
    }
  }

  @Override
  public InstrumentException brokenOff(InstrumentException cause) {
    stop(true);
    InstrumentException failed = failure();
    if (failed == null) {
      return cause;
    }
    var unused = Thread.interrupted(); // its own, see look
    return failed;
  }

  /** No more readings; waits for one that is under way, unless nobody wants it any more. */
  private void stop(boolean atOnce) {
    synchronized (this) {
      over = true;
    }
    if (turns != null) {
      turns.errand(null);
    }
    Thread reader = thread;
    thread = null;
    if (reader == null) {
      return;
    }
    if (atOnce) {
      reader.interrupt();
      return;
    }
    try {
      while (reader.isAlive()) {
        beat.run();
        reader.join(JOIN_MILLIS);
      }
    } catch (InterruptedException e) {
      reader.interrupt();
      Thread.currentThread().interrupt(); // the step's next call ends with it
    }
  }
}
