package kitproof.cli;

import java.time.Duration;
import java.time.Instant;
import kitproof.driver.BenchClock;

/** Time as it is, or running faster by a factor so that a simulated bench can be followed. */
final class SystemBenchClock implements BenchClock {
  private final double speed;
  private final long startNanos = System.nanoTime();
  private final Instant start = Instant.now();

  /** Bench seconds per real second. */
  SystemBenchClock(double speed) {
    this.speed = speed;
  }

  @Override
  public long nanos() {
    return Math.round((System.nanoTime() - startNanos) * speed);
  }

  @Override
  public Instant now() {
    return speed == 1 ? Instant.now() : start.plusNanos(nanos());
  }

  @Override
  public void sleep(Duration duration) throws InterruptedException {
    if (duration.isNegative() || duration.isZero()) {
      return;
    }
    long real = Math.round(duration.toNanos() / speed);
    Thread.sleep(real / 1_000_000, (int) (real % 1_000_000));
  }
}
