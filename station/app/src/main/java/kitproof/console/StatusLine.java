package kitproof.console;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import kitproof.event.Entry;
import kitproof.event.Event;

/**
 * The one line that a terminal shows below the rest: where the run is and how long it may take.
 *
 * <p>Short enough for any terminal: a line that wraps could not be cleared again.
 */
final class StatusLine {
  private List<Event.PlannedStep> steps = List.of();
  private int current = -1;
  private Instant began = Instant.EPOCH;
  private Instant stepBegan = Instant.EPOCH;
  private Duration spent = Duration.ZERO;
  private Duration expectedOfDone = Duration.ZERO;

  /** Takes note of the next event. */
  void note(Entry entry) {
    if (entry.event() instanceof Event.RunStarted e) {
      steps = e.steps();
      began = entry.time();
    } else if (entry.event() instanceof Event.StepStarted e) {
      current = e.index();
      stepBegan = entry.time();
    } else if (entry.event() instanceof Event.StepFinished e) {
      spent = spent.plus(e.took());
      if (e.index() < steps.size()) {
        expectedOfDone = expectedOfDone.plus(steps.get(e.index()).expected());
      }
    } else if (entry.event() instanceof Event.RunEnded) {
      current = -1;
    }
  }

  /**
   * "step 3 of 42 · 0:34 so far · about 2:10 to go"; empty before the first step and at the end.
   */
  String text(Instant now) {
    if (current < 0) {
      return "";
    }
    Duration left = remaining().minus(Duration.between(stepBegan, now));
    return "step "
        + (current + 1)
        + " of "
        + steps.size()
        + " · "
        + clock(Duration.between(began, now))
        + " so far · about "
        + clock(left)
        + " to go";
  }

  /** What the steps not finished were expected to take, corrected by how the others went. */
  Duration remaining() {
    Duration planned =
        steps.stream().map(Event.PlannedStep::expected).reduce(Duration.ZERO, Duration::plus);
    double left = planned.minus(expectedOfDone).toMillis();
    double pace =
        expectedOfDone.isZero() ? 1 : (double) spent.toMillis() / expectedOfDone.toMillis();
    return Duration.ofMillis(Math.round(left * pace));
  }

  /** "1:05" for 65 s; never below zero. */
  private static String clock(Duration duration) {
    long seconds = Math.max(0, duration.toSeconds());
    return String.format(Locale.ROOT, "%d:%02d", seconds / 60, seconds % 60);
  }
}
