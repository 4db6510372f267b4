package kitproof.batch;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judge;
import kitproof.limit.Judgement;
import kitproof.limit.LimitEntry;
import kitproof.limit.LimitFile;
import kitproof.value.AgainstUnit;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/**
 * What a run that was judged once would be under other limits. The run's record is not touched.
 *
 * <p>It passes only as a run does: every step was run that was not left out for want of a reference
 * unit, and every limit judged a measurement and held. Where that cannot be told from what was
 * measured, the verdict is open.
 *
 * @param run as it was judged, with the figures to be judged now
 * @param again how these figures were found, or null if they are those of the record
 * @param results every result, in order
 * @param after the verdict under the other limits, or null if it is open
 * @param why the verdict is open or what it was left for; else empty
 */
public record Rejudgement(
    RunRecord run,
    @Nullable MeasuredAgain again,
    List<Result> results,
    @Nullable Verdict after,
    String why) {
  public Rejudgement {
    results = List.copyOf(results);
  }

  /**
   * One result.
   *
   * @param before the judgement in the record
   * @param after the judgement by the other limits
   */
  public record Result(Measurement measurement, Judgement before, Judgement after) {
    /** Whether the limits ask for an uncertainty that is not on record. */
    boolean wantsUncertainty() {
      return after.limit() != null && after.outcome() == Judgement.Outcome.NOT_JUDGED;
    }

    /** Whether one outcome lets the unit pass and the other does not. */
    public boolean turns() {
      return before.outcome().fails() != after.outcome().fails();
    }
  }

  /**
   * Judges a run again.
   *
   * @param again how its figures were found, or null if they are those of its record
   * @throws IllegalArgumentException if the limits are for another product or revision
   */
  public static Rejudgement of(RunRecord run, @Nullable MeasuredAgain again, LimitFile limits) {
    if (!run.product().equals(limits.product()) || !run.revision().equals(limits.revision())) {
      throw new IllegalArgumentException(
          "the limits are for "
              + limits.product()
              + " "
              + limits.revision()
              + ", the unit is a "
              + run.product()
              + " "
              + run.revision());
    }
    Judge judge = new Judge(limits);
    List<Result> results = new ArrayList<>();
    Set<LimitEntry> unmet = new LinkedHashSet<>(limits.entries());
    for (RunRecord.Step step : run.steps()) {
      for (RunRecord.Result result : step.results()) {
        Measurement measurement = result.measurement();
        results.add(new Result(measurement, result.judgement(), judge.judgeStored(measurement)));
        if (!(measurement.figure() instanceof Figure.Invalid)) {
          judge.entryFor(measurement.name(), measurement.conditions()).ifPresent(unmet::remove);
        }
      }
    }
    unmet.removeAll(leftOut(run, limits, judge));
    if (run.verdict() != Verdict.PASS && run.verdict() != Verdict.FAIL) {
      return new Rejudgement(run, again, results, run.verdict(), "limits do not decide such a run");
    }
    if (results.stream().anyMatch(result -> result.after.outcome().fails())) {
      return new Rejudgement(run, again, results, Verdict.FAIL, "");
    }
    String open = open(run, results, unmet);
    return new Rejudgement(run, again, results, open.isEmpty() ? Verdict.PASS : null, open);
  }

  /**
   * The limits that would have judged what was left out, for which the run asked for no measurement
   * either. Older records do not say what that was; a comparison with another unit it was.
   */
  private static Set<LimitEntry> leftOut(RunRecord run, LimitFile limits, Judge judge) {
    Set<LimitEntry> free = new LinkedHashSet<>();
    Set<Integer> told = new HashSet<>();
    for (Entry entry : run.events()) {
      if (entry.event() instanceof Event.ResultsLeftOut left) {
        told.add(left.index());
        left.results().forEach(r -> judge.entryFor(r.name(), r.conditions()).ifPresent(free::add));
      }
    }
    if (run.steps().stream().anyMatch(s -> s.isLeftOut() && !told.contains(s.index()))) {
      limits.entries().stream()
          .filter(e -> e.when().values().containsKey(AgainstUnit.CONDITION))
          .forEach(free::add);
    }
    return free;
  }

  private static String open(RunRecord run, List<Result> results, Set<LimitEntry> unmet) {
    for (RunRecord.Step step : run.steps()) {
      if (step.outcome() != StepOutcome.PASSED
          && step.outcome() != StepOutcome.FAILED
          && !step.isLeftOut()) {
        return "step \"" + step.step() + "\" was not run to its end";
      }
    }
    List<Result> unjudged = results.stream().filter(Result::wantsUncertainty).toList();
    if (!unjudged.isEmpty()) {
      return unjudged.get(0).measurement.title()
          + " "
          + Judge.NO_UNCERTAINTY
          + (unjudged.size() == 1 ? "" : ", and " + (unjudged.size() - 1) + " more like it");
    }
    if (!unmet.isEmpty()) {
      return "nothing was measured for the limit of " + unmet.iterator().next().title();
    }
    boolean byLimits = results.stream().anyMatch(result -> result.before.outcome().fails());
    return run.verdict() == Verdict.FAIL && !byLimits
        ? "it failed for another reason: " + run.reason()
        : "";
  }

  /** Whether the verdict is another one, or open now. */
  public boolean changes() {
    return after != run.verdict();
  }
}
