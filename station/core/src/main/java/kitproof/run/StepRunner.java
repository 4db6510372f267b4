package kitproof.run;

import java.io.UncheckedIOException;
import java.time.Duration;
import java.util.List;
import java.util.function.Function;
import java.util.stream.Stream;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.event.CaptureShelf;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.interlock.Interlocks;
import kitproof.interlock.Situation;
import kitproof.plan.OnFail;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.procedure.Procedure;
import kitproof.value.Measurement;

/** Carries out single steps; whatever breaks one off, the bench is made safe before it is told. */
final class StepRunner {
  private final OpenBench bench;
  private final Routing routing;
  private final BenchClock clock;
  private final RunEvents events;
  private final StopSwitch stop;
  private final Tally tally;
  private final Judging judging;
  private final Function<String, Event.SafeState> safety;
  private final LiveUnit live;
  private final Interlocks interlocks;
  private final Runnable beat;
  private final Timing timing;
  private final CaptureShelf captures;
  private final References references;

  StepRunner(
      OpenBench bench,
      Routing routing,
      BenchClock clock,
      RunEvents events,
      StopSwitch stop,
      Tally tally,
      Judging judging,
      Function<String, Event.SafeState> safety,
      LiveUnit live,
      Interlocks interlocks,
      Runnable beat,
      Timing timing,
      CaptureShelf captures,
      References references) {
    this.references = references;
    this.timing = timing;
    this.captures = captures;
    this.bench = bench;
    this.routing = routing;
    this.clock = clock;
    this.events = events;
    this.stop = stop;
    this.tally = tally;
    this.judging = judging;
    this.safety = safety;
    this.live = live;
    this.interlocks = interlocks;
    this.beat = beat;
  }

  /** Commands the safe state and tells what came of it. */
  void makeSafe(String cause) {
    Event.SafeState state = safe(cause);
    routing.forget();
    if (!state.confirmed()) {
      tally.error("the safe state could not be confirmed: " + state.detail());
    }
    events.emit(state);
  }

  private Event.SafeState safe(String cause) {
    try {
      return timing.<Event.SafeState, RuntimeException>in(
          Timing.Part.SWITCHING, () -> safety.apply(cause));
    } catch (InterruptedException e) {
      throw new IllegalStateException("the safe state is commanded to the end", e);
    }
  }

  void skip(int index, PlanStep step) {
    skip(index, step, "");
  }

  private void skip(int index, PlanStep step, String why) {
    events.emit(
        new Event.StepFinished(
            index, step.name(), step.conditions(), StepOutcome.SKIPPED, why, Duration.ZERO));
  }

  StepOutcome run(int index, PlanStep step) {
    String leftOut = references.leavesOut(step);
    if (!leftOut.isEmpty()) {
      judging.leftOut(index, step);
      skip(index, step, leftOut);
      return StepOutcome.SKIPPED;
    }
    long begun = clock.nanos();
    bench.latest().stepBegan();
    Times before = timing.all();
    events.emit(
        new Event.StepStarted(index, step.name(), step.procedure().id(), step.conditions()));
    StepOutcome outcome;
    String reason = "";
    try {
      StepInstruments instruments =
          new StepInstruments(
              bench,
              routing,
              clock,
              beat,
              timing,
              new StepInstruments.Shelf(captures, index, step.name()));
      RunningStep running =
          new RunningStep(
              step.conditions(),
              step.outline().drive(),
              instruments,
              routing,
              clock,
              begun,
              events,
              stop,
              beat,
              judging,
              live,
              this::makeSafe,
              timing,
              bench.latest(),
              references);
      List<Measurement> measurements = measure(index, step, instruments, running);
      if (!running.brokenOff().isEmpty()) {
        tally.failed(running.brokenOff()); // the first reason, before what else is missing for it
      }
      Judging.Judged judged = judging.judge(index, measurements);
      outcome = judged.outcome();
      if (!running.brokenOff().isEmpty()) {
        outcome = StepOutcome.FAILED;
        reason = "broken off: " + running.brokenOff();
        tally.stopAfterFailure();
      } else if (judged.good() && step.outline().mains() == Outline.MainsUse.FIRST_POWER) {
        routing.riseJudgedGood();
      }
      if (reason.isEmpty() && outcome == StepOutcome.FAILED && step.onFail() == OnFail.STOP) {
        reason = "the plan stops here on a failure";
        tally.stopAfterFailure();
      }
    } catch (StoppedException e) {
      reason = tally.stopped(stop.pending(), "in step " + step.title());
      outcome = StepOutcome.ABORTED;
    } catch (InstrumentException e) {
      StopSwitch.Cause cause = stop.pending();
      outcome = cause == null ? StepOutcome.ERROR : StepOutcome.ABORTED;
      reason =
          cause == null
              ? tally.error(String.valueOf(e.getMessage()))
              : tally.stopped(cause, "in step " + step.title());
    } catch (UncheckedIOException e) {
      throw e; // the journal's: there is nobody to tell anything
    } catch (RuntimeException | Error e) {
      reason = tally.error("step " + step.title() + " failed inside the program: " + e);
      outcome = StepOutcome.ERROR;
    }
    if (outcome == StepOutcome.ERROR || outcome == StepOutcome.ABORTED) {
      makeSafe(reason);
    }
    events.emit(
        new Event.StepFinished(
            index,
            step.name(),
            step.conditions(),
            outcome,
            reason,
            Duration.ofNanos(clock.nanos() - begun)));
    timing.stepOver(step.name(), step.conditions(), before);
    return outcome;
  }

  private List<Measurement> measure(
      int index, PlanStep step, StepInstruments instruments, RunningStep running)
      throws InstrumentException, StoppedException {
    try {
      checkStop();
      // While the routes change, what the step before was under may still be connected.
      interlocks.enter(
          before ->
              new Situation(
                  before.mains(),
                  index,
                  Stream.concat(before.conditions().stream(), Stream.of(step.conditions()))
                      .toList()));
      switching(() -> routing.prepare(step));
      interlocks.enter(now -> new Situation(now.mains(), index, List.of(step.conditions())));
      if (step.mains() != null) {
        running.mains(step.mains().purpose());
      }
      running.pause(step.pause());
      Outline outline = step.outline();
      if (outline.drives()) {
        switching(() -> routing.connectDrive(step.conditions()));
      }
      List<Measurement> measurements = measure(step.procedure(), step.settings(), running);
      if (outline.drives()) {
        switching(routing::mute);
      }
      instruments.restAudio();
      instruments.recogniseMeters();
      instruments.recogniseSwitchers();
      checkStop();
      return measurements;
    } catch (InterruptedException e) {
      checkStop();
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "interrupted though nobody asked to stop", e);
    }
  }

  private void switching(InstrumentCalls.Action work) throws InstrumentException {
    Timed.run(timing, Timing.Part.SWITCHING, work);
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
}
