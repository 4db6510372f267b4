package kitproof.console;

import java.time.Duration;
import java.time.Instant;
import java.util.Locale;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.Progress;

/**
 * The one line that a terminal shows below the rest: where the run is and how long it may take.
 *
 * <p>Short enough for any terminal: a line that wraps could not be cleared again.
 */
final class StatusLine {
  private final Progress progress = new Progress();
  private String rail = "";

  /** Takes note of the next event. */
  void note(Entry entry) {
    progress.note(entry);
    if (entry.event() instanceof Event.RailRead read) {
      rail = "HV rail " + read.rail().display() + ", do not open · ";
    } else if (entry.event() instanceof Event.OpeningTold
        || entry.event() instanceof Event.RunEnded) {
      rail = "";
    }
  }

  /**
   * "step 3 of 42 · 0:34 so far · about 2:10 to go"; empty before the first step and at the end.
   * While the unit discharges, what its HV rail holds stands before it.
   */
  String text(Instant now) {
    if (progress.current() < 0) {
      return "";
    }
    return rail
        + "step "
        + (progress.current() + 1)
        + " of "
        + progress.steps()
        + " · "
        + clock(progress.soFar(now))
        + " so far · about "
        + clock(progress.left(now))
        + " to go";
  }

  /** What the steps not finished were expected to take, corrected by how the others went. */
  Duration remaining() {
    return progress.remaining();
  }

  /** "1:05" for 65 s; never below zero. */
  private static String clock(Duration duration) {
    long seconds = Math.max(0, duration.toSeconds());
    return String.format(Locale.ROOT, "%d:%02d", seconds / 60, seconds % 60);
  }
}
