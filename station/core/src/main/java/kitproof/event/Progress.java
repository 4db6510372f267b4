package kitproof.event;

import java.time.Duration;
import java.time.Instant;
import java.util.List;

/** How far a run has come and how long it may still take: a fold of its entries. */
public final class Progress {
  private List<Event.PlannedStep> steps = List.of();
  private int current = -1;
  private Instant began = Instant.EPOCH;
  private Instant stepBegan = Instant.EPOCH;
  private Duration spent = Duration.ZERO;
  private Duration expectedOfDone = Duration.ZERO;

  /** Takes note of the next entry. */
  public void note(Entry entry) {
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

  /** The step in progress, or the latest, from 0; -1 before the first and after the end. */
  public int current() {
    return current;
  }

  /** How many steps the plan has. */
  public int steps() {
    return steps.size();
  }

  /** Since the run began. */
  public Duration soFar(Instant now) {
    return Duration.between(began, now);
  }

  /** What is left, the step in progress as if it took what it should; may be below zero. */
  public Duration left(Instant now) {
    return remaining().minus(Duration.between(stepBegan, now));
  }

  /** What the steps not finished were expected to take, corrected by how the others went. */
  public Duration remaining() {
    double left = planned().minus(expectedOfDone).toMillis();
    double pace =
        expectedOfDone.isZero() ? 1 : (double) spent.toMillis() / expectedOfDone.toMillis();
    return Duration.ofMillis(Math.round(left * pace));
  }

  /** The expected time of the finished steps among all of them, from 0 to 1. */
  public double share() {
    Duration planned = planned();
    return planned.isZero() ? 0 : (double) expectedOfDone.toMillis() / planned.toMillis();
  }

  private Duration planned() {
    return steps.stream().map(Event.PlannedStep::expected).reduce(Duration.ZERO, Duration::plus);
  }
}
