package kitproof.mqtt;

import java.time.Duration;
import java.time.Instant;
import kitproof.driver.BenchClock;

/** Real time, for tests with a real peer. */
final class RealClock implements BenchClock {
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
    Thread.sleep(duration.toMillis());
  }
}
