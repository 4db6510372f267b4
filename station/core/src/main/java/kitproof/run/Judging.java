package kitproof.run;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.limit.Judge;
import kitproof.limit.Judgement;
import kitproof.limit.LimitEntry;
import kitproof.limit.LimitFile;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;

/** Judges what the steps of one run yield, and keeps count of the limits that have been met. */
final class Judging {
  private final LimitFile limits;
  private final Judge judge;
  private final Tally tally;
  private final RunEvents events;
  private final String mark;
  private final List<String> failed = new ArrayList<>();
  private final List<Measurement> measured = new ArrayList<>();

  /** The limits that a measurement has met, or that nothing had to. */
  private final Set<LimitEntry> met = new HashSet<>();

  /**
   * Prepares.
   *
   * @param mark what each result is marked with; empty for nothing
   */
  Judging(LimitFile limits, Tally tally, RunEvents events, String mark) {
    this.mark = mark;
    this.limits = limits;
    this.judge = new Judge(limits);
    this.tally = tally;
    this.events = events;
  }

  /**
   * What a step's results come to.
   *
   * @param outcome passed or failed
   * @param good whether a limit held and none was broken: more than that nothing was judged
   */
  record Judged(StepOutcome outcome, boolean good) {}

  /** Judges a step's results and tells them. */
  Judged judge(int index, List<Measurement> measurements) {
    boolean held = false;
    boolean broken = false;
    for (Measurement measured : measurements) {
      Measurement measurement = marked(measured);
      Judgement judgement = judge.judge(measurement);
      events.emit(new Event.ResultJudged(index, measurement, judgement));
      this.measured.add(measurement);
      note(measurement);
      held |= judgement.outcome() == Judgement.Outcome.PASS;
      if (judgement.outcome().fails()) {
        broken = true;
        failed.add(measurement.title());
        tally.failed(measurement.title() + ": " + judgement.detail());
      }
    }
    return new Judged(broken ? StepOutcome.FAILED : StepOutcome.PASSED, held && !broken);
  }

  private Measurement marked(Measurement measurement) {
    return measurement.notedFirst(mark);
  }

  /** How a point of a curve that is being measured lies outside its mask; empty if it does not. */
  Optional<String> outside(String result, Conditions conditions, Quantity at, Quantity value) {
    return judge.outside(result, conditions, at, value).map(Judgement::detail);
  }

  /**
   * Remembers which limit has judged a measurement that is one. One that a more specific one
   * replaces there must be met by what it is for.
   */
  private void note(Measurement measurement) {
    if (!(measurement.figure() instanceof Figure.Invalid)) {
      judge.entryFor(measurement.name(), measurement.conditions()).ifPresent(met::add);
    }
  }

  /**
   * A step is left out, which is told with what it would have yielded: the limit that would have
   * judged that need not be met.
   */
  void leftOut(int index, PlanStep step) {
    List<Event.Awaited> results = new ArrayList<>();
    for (Outline.Promise promise : step.outline().promises()) {
      Conditions conditions = step.conditions().and(promise.more());
      results.add(new Event.Awaited(promise.name(), conditions));
      judge.entryFor(promise.name(), conditions).ifPresent(met::add);
    }
    events.emit(new Event.ResultsLeftOut(index, results));
  }

  /** Everything measured so far, in order. */
  List<Measurement> measured() {
    return measured;
  }

  /** Titles of the failed results, in order. */
  List<String> failed() {
    return failed;
  }

  /** The limits that no measurement met. */
  List<String> unmet() {
    return limits.entries().stream()
        .filter(entry -> !met.contains(entry))
        .map(LimitEntry::title)
        .toList();
  }
}
