package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.Standing;
import kitproof.document.Parsed;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.event.Event;
import kitproof.journal.CaptureFolder;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.run.Replay;
import kitproof.value.Measurement;

/**
 * A run measured again on the captures that were kept of it.
 *
 * @param record the run with the results found now in place of those of its record
 * @param pairs each result found now with the one in the record, in order
 * @param troubles steps that could not be measured again, with the reason; they stand as recorded
 */
record Remeasured(RunRecord record, List<Pair> pairs, List<String> troubles) {
  Remeasured {
    pairs = List.copyOf(pairs);
    troubles = List.copyOf(troubles);
  }

  /** The same result twice. */
  record Pair(Measurement before, Measurement now) {}

  /**
   * Measures.
   *
   * @param records the folder that the record and its captures are in
   * @param plan that the run was made with
   * @param bench likewise
   */
  static Remeasured of(RunRecord record, Path records, Plan plan, Bench bench)
      throws InterruptedException {
    Map<Integer, List<Event.CaptureKept>> captures = new LinkedHashMap<>();
    for (Event.CaptureKept kept : CaptureFolder.of(record)) {
      captures.computeIfAbsent(kept.index(), i -> new ArrayList<>()).add(kept);
    }
    List<PlanStep> planned = new ArrayList<>(plan.steps());
    planned.addAll(plan.shutDown());
    List<RunRecord.Step> steps = new ArrayList<>();
    List<Pair> pairs = new ArrayList<>();
    List<String> troubles = new ArrayList<>();
    List<Measurement> earlier = new ArrayList<>();
    for (RunRecord.Step step : record.steps()) {
      List<RunRecord.Result> results = step.results();
      List<Event.CaptureKept> own = captures.get(step.index());
      boolean captured = own != null && !readsMeter(step, planned);
      if (captured || (!pairs.isEmpty() && follows(step, planned))) {
        try {
          results =
              again(step, planned, bench, earlier, own == null ? List.of() : kept(own, records));
          for (int i = 0; i < results.size(); i++) {
            pairs.add(new Pair(step.results().get(i).measurement(), results.get(i).measurement()));
          }
        } catch (IOException | InstrumentException | IllegalArgumentException e) {
          troubles.add("step " + title(step) + ": " + e.getMessage());
        }
      }
      results.forEach(result -> earlier.add(result.measurement()));
      steps.add(
          new RunRecord.Step(
              step.index(),
              step.step(),
              step.procedure(),
              step.conditions(),
              step.outcome(),
              step.reason(),
              step.took(),
              results));
    }
    return new Remeasured(with(record, steps), pairs, troubles);
  }

  /** The captures of a step, with the calibration that the run corrected them by. */
  private static List<Replay.Kept> kept(List<Event.CaptureKept> captures, Path records)
      throws IOException {
    List<Replay.Kept> all = new ArrayList<>();
    Calibration corrections = null;
    for (Event.CaptureKept kept : captures) {
      Optional<Path> file = CaptureFolder.corrections(records, kept);
      if (file.isPresent() && corrections == null) { // a run has one
        Parsed<Calibration> read = Calibration.read(file.get());
        if (!read.isSound()) {
          throw new IOException(String.valueOf(read.problems().get(0)));
        }
        corrections = read.value();
      }
      all.add(
          new Replay.Kept(
              kept.role(),
              CaptureFolder.ports(kept),
              kept.loads(),
              kept.range(),
              file.isPresent() ? corrections : null,
              () -> CaptureFolder.read(records, kept)));
    }
    return all;
  }

  /** What a meter read while a signal played is not in the captures of it, and stays as it was. */
  private static boolean readsMeter(RunRecord.Step step, List<PlanStep> planned) {
    return step.index() < planned.size()
        && planned.get(step.index()).name().equals(step.step())
        && planned.get(step.index()).outline().needs().stream()
            .anyMatch(need -> need.kind() == InstrumentKind.METER);
  }

  /**
   * Whether all that it tells comes from results of this run, as a comparison does: it must not
   * stay as it was while those are measured again. What it took from another unit is not kept here.
   */
  private static boolean follows(RunRecord.Step step, List<PlanStep> planned) {
    if (step.results().isEmpty()
        || step.index() >= planned.size()
        || !planned.get(step.index()).name().equals(step.step())) {
      return false;
    }
    Outline outline = planned.get(step.index()).outline();
    return outline.touchesNothing()
        && !outline.earlier().isEmpty()
        && outline.otherUnits().isEmpty();
  }

  private static List<RunRecord.Result> again(
      RunRecord.Step step,
      List<PlanStep> planned,
      Bench bench,
      List<Measurement> earlier,
      List<Replay.Kept> captures)
      throws InstrumentException, InterruptedException {
    PlanStep plan = step.index() < planned.size() ? planned.get(step.index()) : null;
    if (plan == null
        || !plan.name().equals(step.step())
        || !plan.conditions().equals(step.conditions())) {
      throw new IllegalArgumentException("the plan has another step in its place");
    }
    List<Measurement> found = Replay.measure(plan, bench, earlier, captures);
    List<RunRecord.Result> before = step.results();
    if (found.size() != before.size()) {
      throw new IllegalArgumentException(
          found.size() + " results, but " + before.size() + " are on record");
    }
    List<RunRecord.Result> results = new ArrayList<>();
    for (int i = 0; i < found.size(); i++) {
      Measurement recorded = before.get(i).measurement();
      Judgement judgement = before.get(i).judgement();
      if (!recorded.title().equals(found.get(i).title())) {
        throw new IllegalArgumentException(
            found.get(i).title() + ", where " + recorded.title() + " is on record");
      }
      results.add(new RunRecord.Result(marked(found.get(i), recorded), judgement));
    }
    return results;
  }

  /** What the record says of the bench is true of its captures as well. */
  static Measurement marked(Measurement now, Measurement recorded) {
    String mark = Standing.markOf(recorded.note());
    if (mark.isEmpty() || Standing.markOf(now.note()).equals(mark)) {
      return now;
    }
    return now.notedFirst(mark);
  }

  private static String title(RunRecord.Step step) {
    return "\""
        + step.step()
        + "\""
        + (step.conditions().isEmpty() ? "" : " (" + step.conditions() + ")");
  }

  private static RunRecord with(RunRecord r, List<RunRecord.Step> steps) {
    return new RunRecord(
        r.run(),
        r.shop(),
        r.station(),
        r.unit(),
        r.batch(),
        r.product(),
        r.revision(),
        r.plan(),
        r.attempt(),
        r.verdict(),
        r.reason(),
        r.failed(),
        r.started(),
        r.ended(),
        r.digests(),
        r.instruments(),
        steps,
        r.notices(),
        r.safeStates(),
        r.trips(),
        r.safeToOpen(),
        r.events());
  }
}
