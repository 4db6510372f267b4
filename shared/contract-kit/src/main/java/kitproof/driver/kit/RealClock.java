package kitproof.driver.kit;

import java.time.Duration;
import java.time.Instant;
import kitproof.driver.BenchClock;

/** Real time, for integration tests with real peers. */
public final class RealClock implements BenchClock {
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
    if (!duration.isNegative()) {
      Thread.sleep(duration.toMillis(), duration.toNanosPart() % 1_000_000);
    }
  }
}
