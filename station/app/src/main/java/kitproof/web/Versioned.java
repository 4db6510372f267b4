package kitproof.web;

import java.time.Duration;
import org.jspecify.annotations.Nullable;

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

  /** Why there can be no news at the moment; null if there can. */
  default @Nullable Trouble trouble() {
    return null;
  }

  /**
   * Why what is shown may be old.
   *
   * @param since milliseconds since 1970
   */
  record Trouble(long since, String why) {}
}
