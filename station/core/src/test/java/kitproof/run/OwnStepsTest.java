package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.FutureTask;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicReference;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.kit.FakeRelayBoard;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.plan.OnFail;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.procedure.Procedure;
import kitproof.procedure.StepBench;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Measurement;
import kitproof.value.Signal;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * Steps of the test's own that stall, loop, mind no stop or make mistakes, and what is then still
 * switched and played.
 */
@Timeout(120)
class OwnStepsTest {
  /** No settings. */
  record None() {}

  /** A step's work in a line of a test. */
  private interface Work {
    void in(StepBench bench) throws InterruptedException, InstrumentException;
  }

  /** A step of the test's own, which measures nothing. */
  private record OwnProcedure(Work work) implements Procedure<None> {
    @Override
    public String id() {
      return "own";
    }

    @Override
    public Class<None> settings() {
      return None.class;
    }

    @Override
    public Outline outline(None settings) {
      return new Outline(List.of(), List.of(), true, Outline.MainsUse.NONE, Duration.ZERO);
    }

    @Override
    public List<Measurement> measure(None settings, StepBench bench)
        throws InterruptedException, InstrumentException {
      work.in(bench);
      return List.of();
    }
  }

  private static FakeStation withWork(Work work) {
    FakeStation station = new FakeStation();
    station.change = plan -> withStep(plan, new OwnProcedure(work));
    return station;
  }

  private static Plan withStep(Plan plan, Procedure<None> procedure) {
    List<PlanStep> steps = new ArrayList<>(plan.steps().subList(0, 2));
    steps.add(
        new PlanStep(
            Location.of("plan.yaml"),
            "own step",
            procedure,
            new None(),
            Conditions.of("channel", "left").with("tap", "8 ohm"),
            null,
            List.of(),
            Duration.ZERO,
            OnFail.GO_ON));
    steps.addAll(plan.steps().subList(2, plan.steps().size()));
    return new Plan(
        plan.name(),
        plan.product(),
        plan.revision(),
        plan.serial(),
        plan.limits(),
        steps,
        plan.shutDown(),
        plan.interlocks(),
        plan.source());
  }

  @Test
  void aSequencerWithoutSignOfLifeIsStoppedAsAnError() throws Exception {
    AtomicLong ticks = new AtomicLong();
    FakeStation station =
        withWork(
            bench -> {
              ticks.addAndGet(Duration.ofSeconds(1).toNanos());
              new CountDownLatch(1).await();
            });
    station.ticker = ticks::get;
    station.deadlines =
        new Deadlines(
            Duration.ofSeconds(30),
            Duration.ofSeconds(30),
            Duration.ofSeconds(30),
            Duration.ofMillis(50));
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .startsWith("the sequencer showed no sign of life for 50 ms");
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
    Invariants.check(station, "stall");
    Invariants.atRest(station, "stall");
  }

  @Test
  void aProcedureThatLoopsAndMindsNothingCannotKeepTheBenchLive() throws Exception {
    AtomicBoolean looping = new AtomicBoolean();
    AtomicBoolean enough = new AtomicBoolean();
    FakeStation station =
        withWork(
            bench -> {
              looping.set(true);
              while (!enough.get()) {
                Thread.onSpinWait();
              }
            });
    station.deadlines =
        new Deadlines(
            Duration.ofSeconds(30),
            Duration.ofSeconds(30),
            Duration.ofSeconds(30),
            Duration.ofMillis(300));
    FutureTask<Verdict> run = new FutureTask<>(station::run);
    new Thread(run, "run").start();
    while (!looping.get() || !station.board.now().isEmpty()) {
      Thread.onSpinWait();
    }
    // All at rest while the step is still looping.
    assertThat(run).isNotDone();
    assertThat(station.outcomes()).doesNotContain("own step");
    enough.set(true);
    assertThat(run.get()).isEqualTo(Verdict.ERROR);
    Invariants.check(station, "loop");
    assertThat(station.outcome("own step")).isEqualTo(StepOutcome.ABORTED);
    assertThat(station.outcome("gain")).isEqualTo(StepOutcome.SKIPPED);
  }

  @Test
  void whatAStoppedStepStillWantsIsNotSwitched() throws Exception {
    FakeStation station = refused(bench -> bench.mains(Route.Purpose.MAINS_LIMITED));
    Invariants.atRest(station, "stopped step");
  }

  @Test
  void whatAStoppedStepStillWantsIsNotPlayed() throws Exception {
    refused(bench -> bench.audio("audio").exchange(Signal.of(48_000, new double[2][4_800])));
  }

  /** A step that minds no stop, and what it wants afterwards, which is refused. */
  private static FakeStation refused(Work afterwards) throws Exception {
    AtomicReference<Sequencer> sequencer = new AtomicReference<>();
    List<String> refused = new ArrayList<>();
    FakeStation station =
        withWork(
            bench -> {
              sequencer.get().stop("operator");
              var unused = Thread.interrupted();
              try {
                afterwards.in(bench);
              } catch (InstrumentException e) {
                refused.add(e.getMessage());
              }
            });
    sequencer.set(station.sequencer());
    assertThat(sequencer.get().run()).isEqualTo(Verdict.ABORTED);
    assertThat(refused)
        .hasSize(1)
        .first()
        .asString()
        .contains("nothing more is switched or played");
    Invariants.check(station, "stopped step");
    return station;
  }

  @Test
  void aMistakeInAProcedureIsTheStationsErrorAndTheDischargeIsWatched() throws Exception {
    List<Work> mistakes =
        List.of(
            bench -> {
              throw new IllegalStateException("scripted");
            },
            bench -> {
              throw new StackOverflowError("scripted");
            });
    for (Work mistake : mistakes) {
      FakeStation station = withWork(mistake);
      assertThat(station.run()).isEqualTo(Verdict.ERROR);
      assertThat(station.events(Event.RunEnded.class).get(0).reason())
          .startsWith("step own step (channel left, tap 8 ohm) failed inside the program: ")
          .endsWith("scripted");
      assertThat(station.outcome("own step")).isEqualTo(StepOutcome.ERROR);
      assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
      Invariants.check(station, "mistake");
      Invariants.atRest(station, "mistake");
    }
  }

  @Test
  void driveIsMutedBeforeAStepTakesTheMainsAway() throws Exception {
    FakeStation station =
        withWork(
            bench -> {
              assertThat(bench.load("").value()).isEqualTo(8.02);
              bench.mains(Route.Purpose.MAINS_OFF);
            });
    station.run();
    assertThat(station.outcome("own step")).isEqualTo(StepOutcome.PASSED);
    assertThat(
            station.board.moments().stream()
                .map(FakeRelayBoard.Moment::energised)
                .filter(on -> on.contains("K3")))
        .isNotEmpty();
    Invariants.relays(station, "mains off in a driven step");
  }
}
