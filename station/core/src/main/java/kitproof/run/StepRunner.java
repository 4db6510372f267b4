package kitproof.run;

import java.io.UncheckedIOException;
import java.time.Duration;
import java.util.List;
import java.util.function.Function;
import java.util.stream.Stream;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
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
      Runnable beat) {
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
    Event.SafeState state = safety.apply(cause);
    routing.forget();
    if (!state.confirmed()) {
      tally.error("the safe state could not be confirmed: " + state.detail());
    }
    events.emit(state);
  }

  void skip(int index, PlanStep step) {
    events.emit(
        new Event.StepFinished(
            index, step.name(), step.conditions(), StepOutcome.SKIPPED, "", Duration.ZERO));
  }

  StepOutcome run(int index, PlanStep step) {
    long begun = clock.nanos();
    events.emit(
        new Event.StepStarted(index, step.name(), step.procedure().id(), step.conditions()));
    StepOutcome outcome;
    String reason = "";
    try {
      RunningStep running =
          new RunningStep(
              step.conditions(),
              bench,
              routing,
              clock,
              begun,
              events,
              stop,
              beat,
              judging,
              live,
              this::makeSafe);
      Judging.Judged judged = judging.judge(index, measure(index, step, running));
      outcome = judged.outcome();
      if (!running.brokenOff().isEmpty()) {
        outcome = StepOutcome.FAILED;
        reason = "broken off: " + running.brokenOff();
        tally.failed(running.brokenOff());
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
    return outcome;
  }

  private List<Measurement> measure(int index, PlanStep step, RunningStep running)
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
      routing.prepare(step.conditions(), step.select());
      interlocks.enter(now -> new Situation(now.mains(), index, List.of(step.conditions())));
      if (step.mains() != null) {
        running.mains(step.mains().purpose());
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
}
