package kitproof.driver.audio;

import java.util.OptionalInt;
import java.util.concurrent.CompletableFuture;
import org.jspecify.annotations.Nullable;

/**
 * Looks for the first marker while the rest of its passage is still being played, so that the
 * recording need not go on for as long as the longest way there may be. A look takes longer than
 * the lines can wait, so it is on a thread of its own, at a copy.
 */
final class EarlyDelay {
  /** The first look comes when so long a way would have brought the marker back; then each. */
  private static final double STEP_SECONDS = 0.1;

  private final Alignment alignment;
  private final Alignment.Taken taken;
  private final int most;
  private final int step;
  private int next;
  private @Nullable CompletableFuture<OptionalInt> look;
  private OptionalInt found = OptionalInt.empty();

  /**
   * @param taken what is being recorded
   * @param rate frames per second
   */
  EarlyDelay(Alignment alignment, Alignment.Taken taken, double rate) {
    this.alignment = alignment;
    this.taken = taken;
    this.most = alignment.delayAtMost(taken.running(), taken.passage());
    this.step = (int) Math.round(STEP_SECONDS * rate);
    this.next =
        taken.begun() + taken.passage().markerAt() + taken.passage().first().length() + step;
  }

  /** How long the way is, or may be at most as long as that is not known; frames. Looks again. */
  int atMost() {
    CompletableFuture<OptionalInt> now = look;
    if (now != null && now.isDone()) {
      found = now.exceptionally(failed -> OptionalInt.empty()).join();
      look = null;
    }
    if (found.isEmpty() && look == null && taken.recording().length() >= next) {
      next = taken.recording().length() + step;
      Alignment.Taken copy = taken.until();
      look = CompletableFuture.supplyAsync(() -> alignment.delay(copy));
    }
    return found.orElse(most);
  }

  /** How long the way is, if it has been found; frames. */
  OptionalInt found() {
    return found;
  }
}
