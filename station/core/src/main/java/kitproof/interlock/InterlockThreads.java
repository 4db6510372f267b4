package kitproof.interlock;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.BenchClock;

/**
 * Lets interlocks look in real time: one thread for each, so that a meter that hangs holds up no
 * other, and one that sees to it that none has fallen silent. The sequence in turn looks after that
 * one with {@link #check}.
 */
public final class InterlockThreads implements AutoCloseable {
  private static final Duration SHORTEST_PERIOD = Duration.ofMillis(2);
  private static final Duration LONGEST_PERIOD = Duration.ofMillis(20);

  private final Interlocks interlocks;
  private final MeterAccess access;
  private final BenchClock clock;
  private final Duration period;
  private final long patienceNanos;
  private final List<Thread> threads = new ArrayList<>();
  private volatile long lastLook;
  private volatile boolean closed;

  /** Starts them. */
  public InterlockThreads(Interlocks interlocks, MeterAccess access, BenchClock clock) {
    this.interlocks = interlocks;
    this.access = access;
    this.clock = clock;
    Duration shortest =
        interlocks.watches().stream()
            .map(watch -> watch.interlock().within())
            .min(Duration::compareTo)
            .orElse(LONGEST_PERIOD.multipliedBy(20));
    this.patienceNanos = shortest.toNanos();
    this.period = between(shortest.dividedBy(40));
    this.lastLook = clock.nanos();
    for (Watch watch : interlocks.watches()) {
      start("kitproof-interlock " + watch, () -> watch(watch));
    }
    if (!interlocks.isEmpty()) {
      start("kitproof-interlocks", this::look);
    }
  }

  private static Duration between(Duration wanted) {
    Duration atLeast = wanted.compareTo(SHORTEST_PERIOD) < 0 ? SHORTEST_PERIOD : wanted;
    return atLeast.compareTo(LONGEST_PERIOD) > 0 ? LONGEST_PERIOD : atLeast;
  }

  private interface Duty {
    void run() throws InterruptedException;
  }

  private void start(String name, Duty duty) {
    Thread thread =
        new Thread(
            () -> {
              try {
                while (!closed && !interlocks.isOver()) {
                  duty.run();
                }
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt(); // closed
              }
            },
            name);
    thread.setDaemon(true);
    threads.add(thread);
    thread.start();
  }

  private void watch(Watch watch) throws InterruptedException {
    long left = watch.readingDue() - clock.nanos();
    if (left <= 0) {
      interlocks.read(watch, access);
    } else {
      clock.sleep(Duration.ofNanos(Math.min(left, period.toNanos())));
    }
  }

  private void look() throws InterruptedException {
    interlocks.look();
    lastLook = clock.nanos();
    clock.sleep(period);
  }

  /** Called by the sequence with its signs of life: whether the watch over the interlocks lives. */
  public void check() {
    long silent = clock.nanos() - lastLook;
    if (!closed && !interlocks.isEmpty() && !interlocks.isOver() && silent > patienceNanos) {
      interlocks.unwatched("no sign of life for " + silent / 1_000_000 + " ms");
    }
  }

  @Override
  public void close() {
    closed = true;
    threads.forEach(Thread::interrupt);
  }
}
