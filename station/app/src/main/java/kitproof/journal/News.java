package kitproof.journal;

import java.time.Duration;

/** Wakes readers when something was appended; carries no data, so nobody can be late for it. */
final class News {
  private long version;

  synchronized long version() {
    return version;
  }

  synchronized void tell() {
    version++;
    notifyAll();
  }

  /** Returns when the version is beyond the one seen, or the bound has passed, or sooner. */
  @SuppressWarnings("WaitNotInLoop") // callers look again themselves, and sooner is allowed
  synchronized void await(long seen, Duration bound) throws InterruptedException {
    long nanos = bound.toNanos();
    if (version == seen && nanos > 0) {
      wait(nanos / 1_000_000, (int) (nanos % 1_000_000));
    }
  }
}
