package kitproof.run;

import java.time.Duration;
import java.time.Instant;
import kitproof.driver.BenchClock;
import kitproof.driver.SimulatedClock;

/** Simulated time in which something happens at one instant, in the middle of whatever sleeps. */
final class InterruptingClock implements BenchClock {
  private final SimulatedClock time = new SimulatedClock(Instant.parse("2026-11-25T10:15:00Z"));
  private long at = Long.MAX_VALUE;
  private Happening what = () -> {};

  /** What happens. */
  interface Happening {
    void happens() throws InterruptedException;
  }

  /** Once, at this instant of bench time. */
  synchronized void at(long nanos, Happening happening) {
    at = nanos;
    what = happening;
  }

  private synchronized Duration until(Duration atMost) {
    long left = at == Long.MAX_VALUE ? Long.MAX_VALUE : Math.max(0, at - time.nanos());
    return left < atMost.toNanos() ? Duration.ofNanos(left) : atMost;
  }

  private synchronized boolean isDue() {
    boolean due = time.nanos() >= at;
    at = due ? Long.MAX_VALUE : at;
    return due;
  }

  @Override
  public long nanos() {
    return time.nanos();
  }

  @Override
  public Instant now() {
    return time.now();
  }

  @Override
  public void sleep(Duration duration) throws InterruptedException {
    Duration first = until(duration);
    time.sleep(first);
    if (isDue()) {
      what.happens();
    }
    if (first.compareTo(duration) < 0) {
      time.sleep(duration.minus(first));
    }
  }

  @Override
  public boolean passesBySleepingOnly() {
    return true;
  }
}
