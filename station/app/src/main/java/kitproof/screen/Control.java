package kitproof.screen;

import java.time.Duration;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;

/**
 * Who drives the bench: one browser, the others watch. Safe for several threads.
 *
 * <p>While nothing runs whoever is at the bench may take the controls. During a run they stay where
 * they are, unless they are given back or their page has not been heard of for a while.
 */
final class Control {
  /** A page asks every few seconds at least. */
  static final Duration SILENCE = Duration.ofSeconds(15);

  private final LongSupplier ticker;
  private @Nullable String holder;
  private long heard;

  Control(LongSupplier ticker) {
    this.ticker = ticker;
  }

  /** A sign of life of a page. */
  synchronized void hear(String seat) {
    if (seat.equals(holder)) {
      heard = ticker.getAsLong();
    }
  }

  /** Whether this browser drives. */
  synchronized boolean isHeldBy(String seat) {
    return seat.equals(holder);
  }

  /** Whether somebody drives and is there. */
  synchronized boolean isHeld() {
    return holder != null && ticker.getAsLong() - heard < SILENCE.toNanos();
  }

  /** Whether this browser drives or could take the controls. */
  synchronized boolean isFreeFor(String seat, boolean running) {
    return !running || seat.equals(holder) || !isHeld();
  }

  /** Takes the controls; false if somebody else has them in the middle of a run. */
  synchronized boolean take(String seat, boolean running) {
    if (!isFreeFor(seat, running)) {
      return false;
    }
    holder = seat;
    heard = ticker.getAsLong();
    return true;
  }

  /** Gives them back. */
  synchronized void release(String seat) {
    if (seat.equals(holder)) {
      holder = null;
    }
  }
}
