package kitproof.run;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import kitproof.driver.InstrumentException;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judge;
import kitproof.limit.Judgement;
import kitproof.limit.LimitEntry;
import kitproof.plan.OnFail;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.procedure.Procedure;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/**
 * Runs one plan on one unit: the only place that orders things in time and owns the safe state.
 *
 * <p>Whatever happens — a failed result, a driver that throws or never returns, a stop from any
 * thread, a sequencer that stalls — the bench is brought to its safe state first, and the reason is
 * told after. It emits events and waits for no one who reads them. {@link #run()} is called once;
 * {@link #stop} at any time from any thread.
 */
public final class Sequencer {
  private final RunRequest request;
  private final Judge judge;
  private final StopSwitch stop = new StopSwitch();
  private final Halt halt = new Halt();
  private final List<String> failed = new ArrayList<>();
  private final Set<LimitEntry> met = new HashSet<>();
  private final Tally tally = new Tally();
  private volatile @Nullable SafeKeeper keeper;
  private @Nullable Heartbeat heartbeat;

  public Sequencer(RunRequest request) {
    this.request = request;
    this.judge = new Judge(request.limits());
  }

  /**
   * Asks the run to stop: the bench is made safe at once, the discharge is still watched; a second
   * request ends that too. Returns when the safe state has been commanded.
   */
  public void stop(String reason) {
    stopBecause(new StopSwitch.Cause(reason, false));
  }

  private void stopBecause(StopSwitch.Cause cause) {
    halt.set();
    stop.request(cause);
    SafeKeeper now = keeper;
    if (now != null) {
      var unused = now.command(cause.reason());
    }
  }

  /**
   * Runs the plan to its end.
   *
   * @return the verdict, as the last event told it
   * @throws IOException if not even the end could be made durable; the bench is safe all the same
   */
  public Verdict run() throws IOException {
    stop.attach();
    Duration stall = request.deadlines().stall();
    try (Heartbeat beating =
        new Heartbeat(
            request.ticker(),
            stall,
            () ->
                stopBecause(
                    new StopSwitch.Cause(
                        "the sequencer showed no sign of life for " + stall.toMillis() + " ms",
                        true)))) {
      heartbeat = beating;
      emit(started());
      openAndRun();
    } catch (UncheckedIOException e) {
      tally.error("the journal could not be written: " + e.getMessage());
    } finally {
      stop.detach();
    }
    return end();
  }

  private Verdict end() throws IOException {
    if (tally.verdict() == Verdict.PASS) {
      for (LimitEntry entry : request.limits().entries()) {
        if (!met.contains(entry)) {
          tally.error("no measurement met the limit for " + entry.result());
        }
      }
    }
    Verdict verdict = tally.verdict();
    var unused = request.events().append(new Event.RunEnded(verdict, tally.reason(), failed));
    return verdict;
  }

  private Event.RunStarted started() {
    List<Event.PlannedStep> planned = new ArrayList<>();
    for (PlanStep step : allSteps()) {
      planned.add(
          new Event.PlannedStep(
              step.name(), step.conditions(), step.outline().expected().plus(step.pause())));
    }
    return new Event.RunStarted(
        request.run(),
        request.bench().shop(),
        request.bench().station(),
        request.unit(),
        request.batch(),
        request.plan().product(),
        request.plan().revision(),
        request.plan().name(),
        request.digests(),
        planned);
  }

  private List<PlanStep> allSteps() {
    List<PlanStep> all = new ArrayList<>(request.plan().steps());
    all.addAll(request.plan().shutDown());
    return all;
  }

  private void openAndRun() {
    try (OpenBench open =
        OpenBench.open(
            request.bench(),
            request.drivers(),
            request.unit(),
            request.clock(),
            request.deadlines(),
            this::beat,
            halt)) {
      emit(new Event.BenchOpened(open.identities()));
      Routing routing = new Routing(request.bench(), open);
      SafeKeeper safe = new SafeKeeper(open, routing);
      keeper = safe;
      try {
        if (commandSafe(safe, routing, "start of the run")) {
          steps(open, routing);
        }
        shutDown(open, routing);
        commandSafe(safe, routing, "end of the run");
      } catch (UncheckedIOException e) {
        // Nothing more can be recorded; what counts now is the bench.
        var unused = safe.command("the journal could not be written");
        throw e;
      } finally {
        keeper = null;
      }
      for (String trouble : open.closeAll()) {
        emit(new Event.Notice(trouble));
      }
    } catch (InstrumentException e) {
      blame(e);
    } catch (InterruptedException e) {
      aborted("while the bench was being opened");
    }
  }

  private void steps(OpenBench open, Routing routing) {
    List<PlanStep> steps = request.plan().steps();
    for (int i = 0; i < steps.size(); i++) {
      if (tally.mustStop()) {
        skip(i, steps.get(i));
      } else {
        step(i, steps.get(i), open, routing);
      }
    }
  }

  private void skip(int index, PlanStep step) {
    emit(
        new Event.StepFinished(
            index, step.name(), step.conditions(), StepOutcome.SKIPPED, "", Duration.ZERO));
  }

  /** Done whenever mains has been on, whatever happened before; each step ends or breaks it off. */
  private void shutDown(OpenBench open, Routing routing) {
    stop.beginShutDown();
    halt.lift();
    List<PlanStep> steps = request.plan().shutDown();
    int first = request.plan().steps().size();
    boolean live = routing.mainsHasBeenOn();
    boolean brokenOff = false;
    for (int i = 0; i < steps.size(); i++) {
      if (!live || brokenOff) {
        skip(first + i, steps.get(i));
      } else {
        StepOutcome outcome = step(first + i, steps.get(i), open, routing);
        brokenOff = outcome == StepOutcome.ERROR || outcome == StepOutcome.ABORTED;
      }
    }
    if (live && (steps.isEmpty() || brokenOff)) {
      emit(
          new Event.Notice(
              "HV rail unknown: treat the unit as live, do not open it before it has been measured"));
    }
  }

  private boolean commandSafe(SafeKeeper safe, Routing routing, String cause) {
    beat();
    Event.SafeState state = safe.command(cause);
    routing.forget();
    emit(state);
    if (!state.confirmed()) {
      tally.error("the safe state could not be confirmed: " + state.detail());
    }
    return state.confirmed();
  }

  private StepOutcome step(int index, PlanStep step, OpenBench open, Routing routing) {
    long begun = request.clock().nanos();
    emit(new Event.StepStarted(index, step.name(), step.procedure().id(), step.conditions()));
    StepOutcome outcome;
    String reason = "";
    try {
      RunningStep running =
          new RunningStep(
              step.conditions(),
              open,
              routing,
              request.clock(),
              begun,
              request.events(),
              this::beat);
      outcome = judge(index, measure(step, running, routing));
      if (outcome == StepOutcome.PASSED && step.outline().mains() == Outline.MainsUse.FIRST_POWER) {
        routing.riseJudgedGood();
      }
      if (outcome == StepOutcome.FAILED && step.onFail() == OnFail.STOP) {
        reason = "the plan stops here on a failure";
        tally.stopAfterFailure();
      }
    } catch (StoppedException e) {
      reason = aborted("in step " + step.title());
      outcome = StepOutcome.ABORTED;
    } catch (InstrumentException e) {
      reason = blame(e);
      outcome = stop.pending() == null ? StepOutcome.ERROR : StepOutcome.ABORTED;
    } catch (UncheckedIOException e) {
      throw e;
    } catch (RuntimeException | OutOfMemoryError e) {
      reason = "step " + step.title() + " failed inside the program: " + e;
      tally.error(reason);
      outcome = StepOutcome.ERROR;
    }
    if (outcome == StepOutcome.ERROR || outcome == StepOutcome.ABORTED) {
      makeSafeNow(routing, reason);
    }
    emit(
        new Event.StepFinished(
            index,
            step.name(),
            step.conditions(),
            outcome,
            reason,
            Duration.ofNanos(request.clock().nanos() - begun)));
    return outcome;
  }

  private void makeSafeNow(Routing routing, String reason) {
    SafeKeeper now = keeper;
    if (now != null) {
      commandSafe(now, routing, reason);
    }
  }

  private List<Measurement> measure(PlanStep step, RunningStep running, Routing routing)
      throws InstrumentException, StoppedException {
    try {
      checkStop();
      routing.prepare(step.conditions(), step.select());
      if (step.mains() != null) {
        routing.mains(step.mains().purpose());
      }
      running.pause(step.pause());
      Outline outline = step.outline();
      if (outline.drives()) {
        routing.connectDrive(step.conditions());
      }
      List<Measurement> measurements = measure(step.procedure(), step.settings(), running);
      if (outline.drives()) {
        routing.mute();
      }
      checkStop();
      return measurements;
    } catch (InterruptedException e) {
      checkStop();
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "interrupted though nobody asked to stop", e);
    }
  }

  private static <S extends Record> List<Measurement> measure(
      Procedure<S> procedure, Record settings, RunningStep running)
      throws InstrumentException, InterruptedException {
    return procedure.measure(procedure.settings().cast(settings), running);
  }

  private void checkStop() throws StoppedException {
    StopSwitch.Cause cause = stop.pending();
    if (cause != null) {
      throw new StoppedException(cause.reason());
    }
  }

  private StepOutcome judge(int index, List<Measurement> measurements) {
    StepOutcome outcome = StepOutcome.PASSED;
    for (Measurement measurement : measurements) {
      Judgement judgement = judge.judge(measurement);
      emit(new Event.ResultJudged(index, measurement, judgement));
      note(measurement);
      if (judgement.outcome() == Judgement.Outcome.FAIL
          || judgement.outcome() == Judgement.Outcome.GUARD_BAND) {
        outcome = StepOutcome.FAILED;
        failed.add(measurement.title());
        tally.failed(measurement.title() + ": " + judgement.detail());
      }
    }
    return outcome;
  }

  /** Remembers which limits have met a measurement that is one. */
  private void note(Measurement measurement) {
    if (measurement.figure() instanceof Figure.Invalid) {
      return;
    }
    for (LimitEntry entry : request.limits().entries()) {
      if (entry.appliesTo(measurement.name(), measurement.conditions())) {
        met.add(entry);
      }
    }
  }

  private String blame(InstrumentException e) {
    StopSwitch.Cause cause = stop.pending();
    if (cause != null) {
      return aborted("");
    }
    String message = String.valueOf(e.getMessage());
    tally.error(message);
    return message;
  }

  private String aborted(String where) {
    StopSwitch.Cause cause = stop.pending();
    String reason = cause == null ? "interrupted" : cause.reason();
    String full = where.isEmpty() ? reason : reason + ", " + where;
    if (cause == null || cause.stationAtFault()) {
      tally.error(full);
    } else {
      tally.aborted(full);
    }
    return full;
  }

  private void beat() {
    Heartbeat beating = heartbeat;
    if (beating != null) {
      beating.beat();
    }
  }

  private void emit(Event event) {
    beat();
    try {
      var unused = request.events().append(event);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
