package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import kitproof.driver.Route;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import kitproof.procedure.Outline;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The Linnet's own plan, with its own procedures and interlocks, on the simulated unit: each step
 * is stopped once at a moment made by chance. Before it come only the steps that bring the unit
 * where it stands then, first power and warm-up, and after it the discharge and the unit's own
 * count of how often it was driven into an open output.
 */
class InterruptedStepsIT {
  private static final Drivers DRIVERS = DriverLoader.load(Path.of("no-such-folder"));

  @TempDir Path folder;

  private Prepared prepared() throws IOException {
    String plan = Files.readString(Cli.example("plan.yaml"));
    String limits = "../../../limits/";
    String absolute = Cli.example(limits).normalize().toAbsolutePath() + "/";
    Path planFile = folder.resolve("plan.yaml");
    Files.writeString(
        planFile,
        plan.stripTrailing().replace("limits: " + limits, "limits: " + absolute)
            + "\n\n  - {step: flyback, procedure: reading, meter: flyback-meter, function: flyback,"
            + " result: flyback}\n");
    Path benchFile = folder.resolve("bench.yaml");
    Files.writeString(
        benchFile,
        Files.readString(Cli.example("bench-simulated.yaml"))
            + """

              flyback-meter:
                driver: simulated-bench
                kind: meter
                settings: {bench: linnet-12, functions: {flyback: {point: flyback}}}
            """);
    return Prepared.read(planFile, benchFile, DRIVERS, true).value();
  }

  /** First power, warm-up, and a step from among those after; or all up to one of the first. */
  private static List<PlanStep> upTo(List<PlanStep> steps, int target) {
    List<PlanStep> before = new ArrayList<>();
    boolean warm = false;
    for (int i = 0; i < target; i++) {
      PlanStep step = steps.get(i);
      boolean direct = step.mains() != null && step.mains().purpose() == Route.Purpose.MAINS_DIRECT;
      if (warm) {
        break;
      }
      if (!step.name().equals("mains power through the limiter")) {
        before.add(step);
      }
      warm |= direct;
    }
    before.add(steps.get(target));
    return before;
  }

  private static Plan only(Plan whole, List<PlanStep> steps) {
    return new Plan(
        whole.name(),
        whole.product(),
        whole.revision(),
        whole.serial(),
        whole.limits(),
        steps,
        whole.shutDown(),
        whole.interlocks(),
        whole.source());
  }

  @Test
  void eachStepIsStoppedOnceAndNoRuleIsBroken() throws Exception {
    Prepared prepared = prepared();
    List<PlanStep> steps = prepared.plan().steps();
    assertThat(steps).hasSizeGreaterThan(40);
    assertThat(prepared.plan().interlocks()).isNotEmpty();
    ExecutorService side = Executors.newFixedThreadPool(2);
    try {
      List<Future<String>> stopped = new ArrayList<>();
      for (int i = 0; i < steps.size(); i++) {
        int target = i;
        stopped.add(side.submit(() -> stopped(prepared, target)));
      }
      for (Future<String> one : stopped) {
        assertThat(one.get(5, TimeUnit.MINUTES)).isEmpty();
      }
    } finally {
      side.shutdownNow();
    }
  }

  /** Nothing, or what was wrong. */
  private static String stopped(Prepared prepared, int target) throws IOException {
    PlanStep step = prepared.plan().steps().get(target);
    double part = new Random(target).nextDouble();
    Duration after = Duration.ofNanos(Math.round(step.outline().expected().toNanos() * part));
    // A step that is over sooner than expected is stopped as it begins.
    if (!stopped(prepared, target, after)) {
      assertThat(stopped(prepared, target, Duration.ZERO)).as(step.title()).isTrue();
    }
    return "";
  }

  private static boolean stopped(Prepared prepared, int target, Duration after) throws IOException {
    List<PlanStep> steps = upTo(prepared.plan().steps(), target);
    PlanStep step = steps.get(steps.size() - 1);
    String about = "step " + target + ", " + step.title() + ", stopped " + after + " into it";
    InterruptedRun run =
        new InterruptedRun(
            prepared, only(prepared.plan(), steps), DRIVERS.byId(), steps.size() - 1, after);
    Verdict verdict = run.run();
    assertThat(verdict).as(about).isNotEqualTo(Verdict.PASS);
    assertThat(run.violations).as(about).isEmpty();
    boolean mains = false;
    boolean inTime = false;
    SafeToOpen opening = null;
    for (Event event : run.events) {
      if (event instanceof Event.SafeState state) {
        assertThat(state.confirmed()).as("%s: %s", about, state).isTrue();
      } else if (event instanceof Event.OpeningTold told) {
        mains = true;
        opening = told.safeToOpen();
      } else if (event instanceof Event.StepFinished end && end.index() == steps.size() - 1) {
        inTime = end.outcome() == StepOutcome.ABORTED;
      } else if (event instanceof Event.ResultJudged result
          && result.measurement().name().equals("flyback")) {
        assertThat(result.measurement().figure())
            .as(about)
            .isEqualTo(new Figure.OfQuantity(Quantity.of(0, Unit.ONE)));
      }
    }
    if (mains) {
      assertThat(run.events)
          .as("%s: the unit's own count was asked", about)
          .anyMatch(
              e -> e instanceof Event.ResultJudged r && r.measurement().name().equals("flyback"));
      // A rail that was hardly up is not seen to fall; nor one whose discharge the stop came into.
      boolean rising = step.outline().mains() == Outline.MainsUse.FIRST_POWER;
      assertThat(opening)
          .as(about)
          .isIn(
              rising || !inTime
                  ? List.of(SafeToOpen.YES, SafeToOpen.UNKNOWN)
                  : List.of(SafeToOpen.YES));
    }
    return inTime;
  }
}
