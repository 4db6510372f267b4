package kitproof.benchmark;

import java.time.Duration;
import java.time.Instant;
import kitproof.driver.BenchClock;

/** Time as it is. */
final class RealTime implements BenchClock {
  @Override
  public long nanos() {
    return System.nanoTime();
  }

  @Override
  public Instant now() {
    return Instant.now();
  }

  @Override
  public void sleep(Duration duration) throws InterruptedException {
    if (duration.compareTo(Duration.ZERO) > 0) {
      Thread.sleep(duration.toMillis(), duration.getNano() % 1_000_000);
    }
  }
}
