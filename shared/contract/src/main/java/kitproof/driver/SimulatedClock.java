package kitproof.driver;

import java.time.Duration;
import java.time.Instant;
import java.util.concurrent.atomic.AtomicLong;

/** A clock whose sleepers pass the time at once; nothing else does. */
public final class SimulatedClock implements BenchClock {
  private final Instant start;
  private final AtomicLong nanos = new AtomicLong();

  public SimulatedClock(Instant start) {
    this.start = start;
  }

  @Override
  public long nanos() {
    return nanos.get();
  }

  @Override
  public Instant now() {
    return start.plusNanos(nanos.get());
  }

  @Override
  public void sleep(Duration duration) throws InterruptedException {
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
    nanos.addAndGet(Math.max(0, duration.toNanos()));
  }

  @Override
  public boolean passesBySleepingOnly() {
    return true;
  }
}
