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

  /** Returns when the version is beyond the one seen, or the bound has passed. */
  synchronized void await(long seen, Duration bound) throws InterruptedException {
    long left = bound.toNanos();
    long until = System.nanoTime() + left;
    while (version == seen && left > 0) {
      // wait(0) would be for ever
      wait(left / 1_000_000, (int) (left % 1_000_000));
      left = until - System.nanoTime();
    }
  }
}
