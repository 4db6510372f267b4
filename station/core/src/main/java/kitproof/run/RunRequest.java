package kitproof.run;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.LongSupplier;
import kitproof.driver.BenchClock;
import kitproof.driver.DriverProvider;
import kitproof.driver.Handling;
import kitproof.event.CaptureShelf;
import kitproof.event.Event;
import kitproof.event.EventSink;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import org.jspecify.annotations.Nullable;

/**
 * Everything a run needs; {@link Preflight} has found nothing wrong with it.
 *
 * @param run the run's name, unique
 * @param unit serial number of the unit on the bench
 * @param batch empty if none
 * @param plan what to do
 * @param bench with which instruments
 * @param limits what to judge against
 * @param digests file role to digest, for the record
 * @param drivers by id
 * @param events where events go
 * @param clock the bench's time
 * @param ticker real nanoseconds for the heartbeat, never backwards
 * @param deadlines real time limits
 * @param retest that the unit has been tested before, or null
 * @param latest where those who watch look
 * @param heat what the bench's loads took in earlier runs
 * @param captures where captures are put
 * @param handling how the unit came to be on the bench, if that is told
 * @param references the other units that steps compare with
 */
public record RunRequest(
    String run,
    String unit,
    String batch,
    Plan plan,
    Bench bench,
    LimitFile limits,
    Map<String, String> digests,
    Map<String, DriverProvider> drivers,
    EventSink events,
    BenchClock clock,
    LongSupplier ticker,
    Deadlines deadlines,
    Event.@Nullable Retest retest,
    Latest latest,
    HeatBooks heat,
    CaptureShelf captures,
    Handling handling,
    References references) {

  /** The first run of a unit, which nobody watches, on cold loads. */
  public RunRequest(
      String run,
      String unit,
      String batch,
      Plan plan,
      Bench bench,
      LimitFile limits,
      Map<String, String> digests,
      Map<String, DriverProvider> drivers,
      EventSink events,
      BenchClock clock,
      LongSupplier ticker,
      Deadlines deadlines) {
    this(
        run,
        unit,
        batch,
        plan,
        bench,
        limits,
        digests,
        drivers,
        events,
        clock,
        ticker,
        deadlines,
        null,
        new Latest(ticker),
        new HeatBooks(),
        CaptureShelf.NONE,
        Handling.UNTOLD,
        References.NONE);
  }

  /** The same, with these other units to compare with. */
  public RunRequest comparedWith(References others) {
    return new RunRequest(
        run, unit, batch, plan, bench, limits, digests, drivers, events, clock, ticker, deadlines,
        retest, latest, heat, captures, handling, others);
  }

  /** What is to be told at its beginning: what is compared with, how the bench stands. */
  List<String> told() {
    List<String> told = new ArrayList<>(references.told());
    told.addAll(bench.standing().told());
    return told;
  }

  /** The first event of the run. */
  Event.RunStarted started() {
    List<PlanStep> all = new ArrayList<>(plan.steps());
    all.addAll(plan.shutDown());
    List<Event.PlannedStep> planned = new ArrayList<>();
    for (PlanStep step : all) {
      planned.add(
          new Event.PlannedStep(
              step.name(), step.conditions(), step.outline().expected().plus(step.pause())));
    }
    Map<String, String> files = new LinkedHashMap<>(digests);
    files.putAll(references.digests());
    return new Event.RunStarted(
        run,
        bench.shop(),
        bench.station(),
        unit,
        batch,
        plan.product(),
        plan.revision(),
        plan.name(),
        files,
        planned);
  }
}
