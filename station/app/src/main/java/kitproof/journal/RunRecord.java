package kitproof.journal;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/**
 * Everything known of one run: the fold of its entries, and nothing else.
 *
 * @param batch empty if none
 * @param digests file role (plan, bench, limits) to "sha256:…"
 * @param instruments role to identity; empty until the bench was opened
 * @param steps every step of the plan in order, begun or not
 * @param notices what the operator was told, in order
 * @param safeStates each time the safe state was commanded, in order
 * @param trips interlocks that took the mains away
 * @param safeToOpen whether the unit may be opened, as last told; no until then
 * @param verdict null while the run goes on
 * @param reason why, if not pass; else empty
 * @param attempt which attempt at this unit it is among the records of its folder, from 1; of a run
 *     in error, which it would have been
 * @param failed titles of the failed results, in order
 * @param ended null while the run goes on
 * @param events every entry in order
 */
public record RunRecord(
    String run,
    String shop,
    String station,
    String unit,
    String batch,
    String product,
    String revision,
    String plan,
    int attempt,
    @Nullable Verdict verdict,
    String reason,
    List<String> failed,
    Instant started,
    @Nullable Instant ended,
    Map<String, String> digests,
    Map<String, String> instruments,
    List<Step> steps,
    List<String> notices,
    List<Event.SafeState> safeStates,
    List<Event.InterlockTripped> trips,
    SafeToOpen safeToOpen,
    List<Entry> events) {

  /**
   * A step with what became of it.
   *
   * @param procedure empty if it was not begun
   * @param outcome null if it was not finished
   * @param took bench time; zero if it was not finished
   */
  public record Step(
      int index,
      String step,
      String procedure,
      Conditions conditions,
      @Nullable StepOutcome outcome,
      String reason,
      Duration took,
      List<Result> results) {
    public Step {
      results = List.copyOf(results);
    }

    /**
     * Whether it was not to be done in this run, for a reason that is told; else one that was
     * skipped fell to what had happened before it.
     */
    public boolean isLeftOut() {
      return outcome == StepOutcome.SKIPPED && !reason.isEmpty();
    }
  }

  /** A measurement with its judgement. */
  public record Result(Measurement measurement, Judgement judgement) {}

  public RunRecord {
    failed = List.copyOf(failed);
    digests = Map.copyOf(digests);
    instruments = Map.copyOf(instruments);
    steps = List.copyOf(steps);
    notices = List.copyOf(notices);
    safeStates = List.copyOf(safeStates);
    trips = List.copyOf(trips);
    events = List.copyOf(events);
  }

  /** What the run was in a gauge study, if it was a trial of one and so no attempt of the unit. */
  public Optional<Event.GaugeTrial> gaugeTrial() {
    return events.stream()
        .map(Entry::event)
        .filter(Event.GaugeTrial.class::isInstance)
        .map(Event.GaugeTrial.class::cast)
        .findFirst();
  }

  /** How the bench stood to its calibration; empty if nothing was told of it. */
  public Optional<Event.CalibrationTold> calibration() {
    return events.stream()
        .map(Entry::event)
        .filter(Event.CalibrationTold.class::isInstance)
        .map(Event.CalibrationTold.class::cast)
        .findFirst();
  }

  /**
   * Folds a run's entries from the first on, ended or not.
   *
   * @throws IllegalArgumentException if the first is not the run's start
   */
  public static RunRecord of(List<Entry> entries) {
    if (entries.isEmpty() || !(entries.get(0).event() instanceof Event.RunStarted start)) {
      throw new IllegalArgumentException("no start of a run");
    }
    Map<Integer, Step> steps = new TreeMap<>();
    for (int i = 0; i < start.steps().size(); i++) {
      Event.PlannedStep planned = start.steps().get(i);
      steps.put(i, unfinished(i, planned.step(), "", planned.conditions()));
    }
    Map<String, String> instruments = new LinkedHashMap<>();
    List<String> notices = new ArrayList<>();
    List<Event.SafeState> safeStates = new ArrayList<>();
    List<Event.InterlockTripped> trips = new ArrayList<>();
    SafeToOpen safeToOpen = SafeToOpen.NO;
    List<String> failed = new ArrayList<>();
    Event.@Nullable RunEnded end = null;
    int attempt = 1;
    Instant ended = null;
    for (Entry entry : entries) {
      Event event = entry.event();
      if (event instanceof Event.Retest retest) {
        attempt = retest.attempt();
      } else if (event instanceof Event.BenchOpened opened) {
        instruments.putAll(opened.instruments());
      } else if (event instanceof Event.StepStarted begun) {
        steps.put(
            begun.index(),
            unfinished(begun.index(), begun.step(), begun.procedure(), begun.conditions()));
      } else if (event instanceof Event.ResultJudged result) {
        steps.computeIfPresent(result.index(), (i, step) -> with(step, result));
        if (result.judgement().outcome().fails()) {
          failed.add(result.measurement().title());
        }
      } else if (event instanceof Event.StepFinished finished) {
        steps.computeIfPresent(finished.index(), (i, step) -> with(step, finished));
      } else if (event instanceof Event.SafeState safe) {
        safeStates.add(safe);
      } else if (event instanceof Event.InterlockTripped trip) {
        trips.add(trip);
      } else if (event instanceof Event.OpeningTold told) {
        safeToOpen = told.safeToOpen();
      } else if (event instanceof Event.Notice notice) {
        notices.add(notice.text());
      } else if (event instanceof Event.RunEnded last) {
        end = last;
        ended = entry.time();
      }
    }
    return new RunRecord(
        start.run(),
        start.shop(),
        start.station(),
        start.unit(),
        start.batch(),
        start.product(),
        start.revision(),
        start.plan(),
        attempt,
        end == null ? null : end.verdict(),
        end == null ? "" : end.reason(),
        end == null ? failed : end.failed(),
        entries.get(0).time(),
        ended,
        start.digests(),
        instruments,
        List.copyOf(steps.values()),
        notices,
        safeStates,
        trips,
        safeToOpen,
        entries);
  }

  private static Step unfinished(int index, String name, String procedure, Conditions conditions) {
    return new Step(index, name, procedure, conditions, null, "", Duration.ZERO, List.of());
  }

  private static Step with(Step step, Event.ResultJudged result) {
    List<Result> results = new ArrayList<>(step.results);
    results.add(new Result(result.measurement(), result.judgement()));
    return new Step(
        step.index,
        step.step,
        step.procedure,
        step.conditions,
        step.outcome,
        step.reason,
        step.took,
        results);
  }

  private static Step with(Step step, Event.StepFinished end) {
    return new Step(
        step.index,
        step.step,
        step.procedure,
        step.conditions,
        end.outcome(),
        end.reason(),
        end.took(),
        step.results);
  }
}
