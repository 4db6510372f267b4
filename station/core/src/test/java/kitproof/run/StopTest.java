package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import kitproof.driver.kit.FakeRelayBoard;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Stops from other threads at every moment. */
@Timeout(120)
class StopTest {
  /** Stops from a thread of its own; returns when that has been noted and is being carried out. */
  private static void stopFromElsewhere(Sequencer sequencer, String reason) {
    stopFromElsewhere(sequencer, reason, StopReach.STEPS);
  }

  private static void stopFromElsewhere(Sequencer sequencer, String reason, StopReach reach) {
    Thread stopping = new Thread(() -> sequencer.stop(reason, reach), "operator");
    stopping.setDaemon(true);
    stopping.start();
    while (true) {
      switch (stopping.getState()) {
        case WAITING, TIMED_WAITING, TERMINATED:
          return;
        default:
          Thread.onSpinWait();
      }
    }
  }

  private record Stopped(FakeStation station, Verdict verdict) {}

  private static Stopped stoppedAt(Map<Integer, StopReach> numbers) throws Exception {
    AtomicReference<Sequencer> sequencer = new AtomicReference<>();
    FakeStation station =
        new FakeStation(
            call -> {
              StopReach reach = numbers.get(call.number());
              if (reach != null) {
                stopFromElsewhere(sequencer.get(), "operator at " + call.number(), reach);
              }
            });
    sequencer.set(station.sequencer());
    Verdict verdict = sequencer.get().run();
    // What the operator's thread still does comes from instruments that are closed by now.
    return new Stopped(station, verdict);
  }

  @Test
  void aStopAtAnyCallLeavesTheBenchSafeAndTheDischargeWatched() throws Exception {
    FakeStation good = new FakeStation();
    good.run();
    List<Hook.Call> calls = good.line.calls();
    for (int n = 1; n <= calls.size(); n++) {
      Stopped stopped = stoppedAt(Map.of(n, StopReach.STEPS));
      String about = "stop at call " + n + ", " + calls.get(n - 1);
      assertThat(stopped.verdict)
          .as(about + " " + stopped.station.events(Event.RunEnded.class))
          .isEqualTo(Verdict.ABORTED);
      assertThat(stopped.station.events(Event.RunEnded.class).get(0).reason())
          .as(about)
          .startsWith("operator at " + n);
      Invariants.check(stopped.station, about);
      Invariants.atRest(stopped.station, about);
      watched(stopped.station, about);
    }
  }

  /** If mains was on when the steps ended, the discharge has been watched to its end. */
  private static void watched(FakeStation station, String about) {
    List<Event.StepFinished> finished = station.events(Event.StepFinished.class);
    boolean duringSteps =
        finished.stream()
            .anyMatch(e -> e.outcome() == StepOutcome.ABORTED && !e.step().equals("discharge"));
    boolean live =
        station.board.moments().stream()
            .map(FakeRelayBoard.Moment::energised)
            .anyMatch(on -> on.contains("K1"));
    if (duringSteps && live) {
      assertThat(station.outcome("discharge"))
          .as(about)
          .isIn(StepOutcome.PASSED, StepOutcome.FAILED); // a rail that hardly rose fits nothing
      assertThat(station.rail()).as(about).isLessThan(30);
    }
  }

  /** The number of a call in the middle of the discharge of a run that is stopped at call 60. */
  private static int inTheDischarge() throws Exception {
    List<Hook.Call> calls = stoppedAt(Map.of(60, StopReach.STEPS)).station.line.calls();
    for (int i = 60; i < calls.size(); i++) {
      if (calls.get(i).role().equals("hv-meter")) {
        return calls.get(i).number() + 2;
      }
    }
    throw new AssertionError("the rail is not read");
  }

  @Test
  void aStopOfTheStepsThatComesInTheDischargeLeavesItToBeWatched() throws Exception {
    Stopped twice = stoppedAt(Map.of(60, StopReach.STEPS, inTheDischarge(), StopReach.STEPS));
    assertThat(twice.verdict).isEqualTo(Verdict.ABORTED);
    assertThat(twice.station.outcome("discharge"))
        .isIn(StepOutcome.PASSED, StepOutcome.FAILED); // a rail that hardly rose fits nothing
    assertThat(twice.station.rail()).isLessThan(30);
    Invariants.check(twice.station, "two stops of the steps");
    Invariants.atRest(twice.station, "two stops of the steps");
  }

  @Test
  void aStopThatReachesTheWatchEndsItAndWarnsThatTheUnitIsLive() throws Exception {
    Stopped twice = stoppedAt(Map.of(60, StopReach.STEPS, inTheDischarge(), StopReach.WATCH_TOO));
    assertThat(twice.verdict).isEqualTo(Verdict.ABORTED);
    assertThat(twice.station.outcome("discharge")).isEqualTo(StepOutcome.ABORTED);
    assertThat(twice.station.events(Event.Notice.class))
        .extracting(Event.Notice::text)
        .containsExactly(
            "HV rail unknown: treat the unit as live, do not open it before it has been measured");
    Invariants.check(twice.station, "two stops");
    Invariants.atRest(twice.station, "two stops");
  }

  @Test
  void aStopInTheMiddleOfASignalDoesNotWaitForItsEnd() throws Exception {
    AtomicReference<Sequencer> sequencer = new AtomicReference<>();
    CountDownLatch closed = new CountDownLatch(1);
    AtomicBoolean first = new AtomicBoolean(true);
    FakeStation station =
        new FakeStation(
            call -> {
              if (call.role().equals("audio") && call.text().startsWith("close")) {
                closed.countDown();
              } else if (call.text().startsWith("exchange") && first.getAndSet(false)) {
                stopFromElsewhere(sequencer.get(), "operator");
                awaitThroughInterrupts(closed); // a signal that only closing ends
              }
            });
    sequencer.set(station.sequencer());
    assertThat(sequencer.get().run()).isEqualTo(Verdict.ABORTED);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
    Invariants.check(station, "stop in a signal");
    Invariants.atRest(station, "stop in a signal");
  }

  private static void awaitThroughInterrupts(CountDownLatch latch) {
    while (true) {
      try {
        latch.await();
        return;
      } catch (InterruptedException e) {
        continue;
      }
    }
  }

  @Test
  void aStopWhenTheRunIsOverIsToldNotToCount() throws Exception {
    FakeStation station = new FakeStation();
    Sequencer sequencer = station.sequencer();
    assertThat(sequencer.run()).isEqualTo(Verdict.PASS);
    assertThat(sequencer.stop("too late")).isFalse();
    Invariants.check(station, "stop after");
  }

  @Test
  void aStopBeforeTheRunBeginsLetsNothingBegin() throws Exception {
    FakeStation station = new FakeStation();
    Sequencer sequencer = station.sequencer();
    assertThat(sequencer.stop("changed my mind")).isTrue();
    assertThat(sequencer.run()).isEqualTo(Verdict.ABORTED);
    assertThat(station.board.moments()).isEmpty();
    Invariants.check(station, "stop before");
  }

  @Test
  void noEventIsTornByTheInterruptOfAStop() throws Exception {
    FakeStation good = new FakeStation();
    good.run();
    for (int k = 0; k < good.events.size(); k++) {
      int at = k;
      FakeStation station = new FakeStation();
      AtomicReference<Sequencer> sequencer = new AtomicReference<>();
      List<String> torn = new ArrayList<>();
      station.sink =
          event -> {
            if (station.events.size() == at) {
              stopFromElsewhere(sequencer.get(), "operator");
            }
            // A file channel that is written to by an interrupted thread closes itself.
            if (Thread.currentThread().isInterrupted()) {
              torn.add(event.toString());
            }
            return station.keep(event);
          };
      sequencer.set(station.sequencer());
      Verdict verdict = sequencer.get().run();
      assertThat(torn).as("stop in event " + k).isEmpty();
      if (k < good.events.size() - 1) { // the last one is the end itself
        assertThat(verdict).as("stop in event " + k).isEqualTo(Verdict.ABORTED);
      }
      Invariants.check(station, "stop in event " + k);
      Invariants.atRest(station, "stop in event " + k);
      assertThat(Thread.interrupted()).as("left behind by event " + k).isFalse();
    }
  }

  /** Else the discharge is read off another point of the unit, which may show nothing. */
  @Test
  void whatAStopReleasedRightAfterTheLastStepIsSelectedAgainForTheShutDown() throws Exception {
    AtomicReference<FakeStation> self = new AtomicReference<>();
    AtomicReference<Sequencer> sequencer = new AtomicReference<>();
    AtomicBoolean stopped = new AtomicBoolean();
    List<Set<String>> readAt = new ArrayList<>();
    FakeStation station =
        new FakeStation(
            call -> {
              if (stopped.get() && call.role().equals("hv-meter")) {
                readAt.add(self.get().board.now());
              }
            });
    self.set(station);
    station.bench =
        FakeStation.BENCH.replace(
            "      triode: ",
            "      probe at rest:   {group: probe}\n"
                + "      probe on HV:     {group: probe, relays: [K10]}\n"
                + "      triode: ");
    station.plan =
        FakeStation.PLAN
            .replace(
                "  procedure: distortion\n", "  procedure: distortion\n    select: [probe on HV]\n")
            .replace(
                "  procedure: discharge\n", "  procedure: discharge\n    select: [probe on HV]\n");
    station.sink =
        event -> {
          if (event instanceof Event.StepFinished step && step.step().equals("distortion")) {
            sequencer.get().stop("operator");
            stopped.set(true);
          }
          return station.keep(event);
        };
    sequencer.set(station.sequencer());
    Verdict verdict = sequencer.get().run();
    assertThat(verdict).as("%s", station.events).isEqualTo(Verdict.ABORTED);
    assertThat(station.outcome("distortion")).isEqualTo(StepOutcome.PASSED);
    assertThat(readAt).hasSizeGreaterThan(2);
    assertThat(readAt.subList(0, readAt.size() - 1))
        .allSatisfy(on -> assertThat(on).contains("K10"));
  }
}
