package kitproof.driver;

import java.time.Duration;
import java.time.Instant;

/**
 * The time of the bench: real, or simulated and then as fast as the processor.
 *
 * <p>Everything that waits on behalf of the unit waits here. Safe for use by several threads.
 */
public interface BenchClock {
  /** Nanoseconds since some fixed moment; never runs backwards. */
  long nanos();

  /** The calendar time, for records only; may jump. */
  Instant now();

  /** Returns when this much bench time has passed; at once for zero or less. */
  void sleep(Duration duration) throws InterruptedException;

  /**
   * Whether time passes only while somebody sleeps on this, so that nobody may wait for a moment on
   * a thread of its own.
   */
  default boolean passesBySleepingOnly() {
    return false;
  }
}
