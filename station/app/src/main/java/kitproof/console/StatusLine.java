package kitproof.console;

import java.time.Duration;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;

/** The one line that a terminal shows below the rest: where the run is and how long it may take. */
final class StatusLine {
  private List<Event.PlannedStep> steps = List.of();
  private int current = -1;
  private Duration spent = Duration.ZERO;
  private Duration expectedOfDone = Duration.ZERO;

  /** Takes note of the next event. */
  void note(Entry entry) {
    if (entry.event() instanceof Event.RunStarted e) {
      steps = e.steps();
    } else if (entry.event() instanceof Event.StepStarted e) {
      current = e.index();
    } else if (entry.event() instanceof Event.StepFinished e) {
      spent = spent.plus(e.took());
      if (e.index() < steps.size()) {
        expectedOfDone = expectedOfDone.plus(steps.get(e.index()).expected());
      }
    }
  }

  /** "step 3 of 42: gain (…) · 0:34 so far · about 2:10 to go"; empty before the first step. */
  String text() {
    if (current < 0 || current >= steps.size()) {
      return "";
    }
    Event.PlannedStep step = steps.get(current);
    return "step "
        + (current + 1)
        + " of "
        + steps.size()
        + ": "
        + RunLines.title(step.step(), step.conditions().toString())
        + " · "
        + RunLines.clock(spent)
        + " so far · about "
        + RunLines.clock(remaining())
        + " to go";
  }

  /** What the steps still to come were expected to take, corrected by how the others went. */
  Duration remaining() {
    Duration planned =
        steps.stream().map(Event.PlannedStep::expected).reduce(Duration.ZERO, Duration::plus);
    double left = planned.minus(expectedOfDone).toMillis();
    double pace =
        expectedOfDone.isZero() ? 1 : (double) spent.toMillis() / expectedOfDone.toMillis();
    return Duration.ofMillis(Math.round(left * pace));
  }
}
