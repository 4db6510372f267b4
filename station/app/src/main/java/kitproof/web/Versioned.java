package kitproof.web;

import java.time.Duration;

/** What pages show: something that changes, and numbers its changes. */
public interface Versioned {
  /** Rises with every change. */
  long version();

  /**
   * Waits until something has changed since a version, or a while has passed.
   *
   * @return the version now
   */
  long await(long seen, Duration most) throws InterruptedException;
}
