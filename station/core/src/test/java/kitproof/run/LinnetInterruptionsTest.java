package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.InstrumentKind;
import kitproof.event.Verdict;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/**
 * The steps of the Linnet 12 plan on the relays of its bench, broken off at moments made by chance:
 * by the operator and by boards that fail. The procedures do to the relays what theirs do, routes
 * exchanged and input ranges included, without the signals, so that there can be many. The plan
 * with its own procedures and its interlocks is interrupted in each of its steps by the app's
 * {@code InterruptedStepsIT}.
 */
class LinnetInterruptionsTest {
  private static final int INTERRUPTIONS = 600;
  private static final int INSTANTS = 250;
  private static final Duration SIGNAL = Duration.ofMillis(400);
  private static final Path LINNET = Path.of("..", "examples", "linnet-12");
  private static Plan plan;
  private static Bench bench;

  @BeforeAll
  static void read() {
    Plan whole = PlanReader.read(LINNET.resolve("plan.yaml")).value();
    plan =
        new Plan(
            whole.name(),
            whole.product(),
            whole.revision(),
            whole.serial(),
            whole.limits(),
            relaysOnly(whole.steps()),
            relaysOnly(whole.shutDown()),
            List.of(),
            whole.source());
    bench = switchersOf(BenchReader.read(LINNET.resolve("bench-simulated.yaml")).value());
  }

  private static List<PlanStep> relaysOnly(List<PlanStep> steps) {
    List<PlanStep> without = new ArrayList<>();
    for (PlanStep step : steps) {
      Outline outline = step.outline();
      boolean rise = outline.mains() == Outline.MainsUse.FIRST_POWER;
      without.add(
          new PlanStep(
              step.location(),
              step.name(),
              MadeProcedure.INSTANCE,
              new MadeProcedure.Settings(
                  outline.mains(), outline.drives(), rise, outline.needs(), outline.exchanges()),
              step.conditions(),
              step.mains(),
              step.select(),
              step.pause(),
              step.onFail()));
    }
    return without;
  }

  private static Bench switchersOf(Bench whole) {
    Map<String, Bench.Role> roles = new LinkedHashMap<>();
    whole
        .roles()
        .forEach(
            (name, role) -> {
              if (role.kind() == InstrumentKind.SWITCHER) {
                roles.put(
                    name,
                    new Bench.Role(
                        name, "made", role.kind(), role.settings(), role.routes(), role.source()));
              }
            });
    return new Bench(
        whole.name(),
        whole.shop(),
        whole.station(),
        whole.time(),
        whole.fixedLoad(),
        whole.residual(),
        whole.ratings(),
        roles,
        whole.source());
  }

  private static TracedBench traced(long seed) {
    return new TracedBench(bench, plan, seed).riseIn("first power");
  }

  @Test
  void uninterruptedItBreaksNoRule() throws Exception {
    TracedBench good = traced(1);
    assertThat(good.run()).as(good.reason()).isEqualTo(Verdict.PASS);
    assertThat(good.violations()).isEmpty();
    assertThat(good.atRest()).isTrue();
    assertThat(good.steps()).containsExactlyInAnyOrderElementsOf(names());
  }

  private static List<String> names() {
    List<String> names = new ArrayList<>();
    plan.steps().forEach(step -> names.add(step.name()));
    plan.shutDown().forEach(step -> names.add(step.name()));
    return names;
  }

  @Test
  void whenever250TimesTheOperatorStopsNoRuleIsBrokenAndAllRelaysComeToRest() throws Exception {
    TracedBench good = traced(0).signalsTake(SIGNAL);
    assertThat(good.run()).as(good.reason()).isEqualTo(Verdict.PASS);
    long took = good.took().toNanos();
    int aborted = 0;
    int tooLate = 0;
    for (int i = 1; i <= INSTANTS; i++) {
      Duration instant = Duration.ofNanos(Math.round(new Random(i).nextDouble() * took));
      TracedBench stopped = traced(i).signalsTake(SIGNAL).stopAt(instant);
      Verdict verdict = stopped.run();
      String about = "seed " + i + ", stopped at " + instant;
      if (stopped.stopCounted()) {
        assertThat(verdict).as(about + ": " + stopped.reason()).isNotEqualTo(Verdict.PASS);
      } else {
        tooLate++;
        assertThat(verdict).as(about + ", too late").isEqualTo(Verdict.PASS);
      }
      assertThat(stopped.violations()).as(about).isEmpty();
      assertThat(stopped.atRest()).as(about + ": " + stopped.reason()).isTrue();
      aborted += verdict == Verdict.ABORTED ? 1 : 0;
    }
    assertThat(aborted).isGreaterThan(INSTANTS * 9 / 10);
    assertThat(tooLate).isLessThan(INSTANTS / 20);
  }

  @Test
  void whereverItIsBrokenOffNoRuleIsBrokenAndAllRelaysComeToRest() throws Exception {
    TracedBench good = traced(0);
    good.run();
    int calls = good.calls();
    assertThat(calls).isGreaterThan(200);
    Map<String, List<Integer>> callsIn = new LinkedHashMap<>(good.callsIn());
    callsIn.keySet().retainAll(names());
    List<String> each = List.copyOf(callsIn.keySet());
    assertThat(each).hasSizeGreaterThan(20).hasSizeLessThan(INTERRUPTIONS / 3);
    Set<String> brokenOff = new TreeSet<>();
    int aborted = 0;
    int tooLate = 0;
    for (int i = 1; i <= INTERRUPTIONS; i++) {
      Random chance = new Random(i);
      // First once in each step that has to do with relays, then anywhere.
      List<Integer> some = i <= each.size() ? callsIn.get(each.get(i - 1)) : List.of();
      int call = some.isEmpty() ? 1 + chance.nextInt(calls) : some.get(chance.nextInt(some.size()));
      boolean byOperator = i % 3 != 0;
      // Calls have the same numbers only where chance does the same.
      TracedBench broken = traced(some.isEmpty() ? i : 0);
      if (byOperator) {
        broken.stopAt(call);
      } else {
        broken.failAt(call);
      }
      Verdict verdict = broken.run();
      String about = "seed " + i + ", call " + call + (byOperator ? " stopped" : " failing");
      if (byOperator ? broken.stopCounted() : broken.failed()) {
        assertThat(verdict).as(about + ": " + broken.reason()).isNotEqualTo(Verdict.PASS);
      } else { // he came to it with the bench closed already, or the run was shorter
        tooLate++;
        assertThat(verdict).as(about + ", too late").isEqualTo(Verdict.PASS);
      }
      brokenOff.add(broken.brokenOffIn());
      assertThat(broken.violations()).as(about).isEmpty();
      assertThat(broken.atRest()).as(about + ": " + broken.reason()).isTrue();
      aborted += verdict == Verdict.ABORTED ? 1 : 0;
    }
    assertThat(brokenOff).as("steps that were broken off").containsAll(each);
    assertThat(aborted).isGreaterThan(INTERRUPTIONS / 2);
    assertThat(tooLate).isLessThan(INTERRUPTIONS / 20);
  }
}
