package kitproof.cli;

import java.time.Duration;
import java.time.Instant;
import kitproof.driver.BenchClock;
import kitproof.driver.SimulatedClock;

/**
 * Time of a simulated bench that a person follows: it passes only while somebody waits for it, and
 * as fast as the pace. A machine that is busy makes it slow, never late.
 */
final class PacedClock implements BenchClock {
  private final SimulatedClock time;
  private final double pace;

  /**
   * Begins.
   *
   * @param pace bench seconds per real second
   */
  PacedClock(Instant start, double pace) {
    this.time = new SimulatedClock(start);
    this.pace = pace;
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
    if (duration.isNegative() || duration.isZero()) {
      return;
    }
    long real = Math.round(duration.toNanos() / pace);
    Thread.sleep(real / 1_000_000, (int) (real % 1_000_000));
    time.sleep(duration);
  }

  @Override
  public boolean passesBySleepingOnly() {
    return time.passesBySleepingOnly();
  }
}
