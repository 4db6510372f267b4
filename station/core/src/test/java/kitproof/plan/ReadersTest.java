package kitproof.plan;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import kitproof.document.Parsed;
import kitproof.document.YamlReader;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Good plan and bench files. */
class ReadersTest {
  private static final String HEAD =
      """
      plan: acceptance
      product: Linnet 12
      revision: B
      limits: ../limits/b.yaml
      steps:
      """;

  private static Parsed<Plan> plan(String steps) {
    return YamlReader.read("plan.yaml", HEAD + steps)
        .flatMap(source -> PlanReader.read(source, Path.of("/shop/plans/plan.yaml")));
  }

  private static List<String> titles(String steps) {
    return plan(steps).value().steps().stream().map(PlanStep::title).toList();
  }

  @Test
  void aPlanHasItsHeadAndEachStepItsSettings() {
    Plan plan =
        plan("""
                  - step: bias
                    procedure: reading
                    conditions: {point: cathode V3}
                    mains: direct
                    select: [probe a]
                    wait: 2 s
                    on-fail: stop
                    meter: probe
                    function: dc
                    result: cathode voltage
                """)
            .value();
    assertThat(plan.name()).isEqualTo("acceptance");
    assertThat(plan.product()).isEqualTo("Linnet 12");
    assertThat(plan.revision()).isEqualTo("B");
    assertThat(plan.serial()).isEmpty();
    assertThat(plan.limits()).isEqualTo(Path.of("/shop/limits/b.yaml"));
    assertThat(plan.shutDown()).isEmpty();
    PlanStep step = plan.steps().get(0);
    assertThat(step.name()).isEqualTo("bias");
    assertThat(step.procedure().id()).isEqualTo("reading");
    assertThat(step.conditions()).isEqualTo(Conditions.of("point", "cathode V3"));
    assertThat(step.mains()).isEqualTo(Mains.DIRECT);
    assertThat(step.select()).containsExactly("probe a");
    assertThat(step.pause()).isEqualTo(Duration.ofSeconds(2));
    assertThat(step.onFail()).isEqualTo(OnFail.STOP);
    assertThat(step.outline().promises().get(0).name()).isEqualTo("cathode voltage");
    assertThat(step.location()).hasToString("plan.yaml:6:5");
  }

  @Test
  void whatAStepLeavesOutHasAValue() {
    PlanStep step = plan("  - {step: a, procedure: gain, power: 1 W}\n").value().steps().get(0);
    assertThat(step.conditions().isEmpty()).isTrue();
    assertThat(step.mains()).isNull();
    assertThat(step.select()).isEmpty();
    assertThat(step.pause()).isZero();
    assertThat(step.onFail()).isEqualTo(OnFail.GO_ON);
  }

  @Test
  void aRepeatIsWrittenOutWithItsFirstConditionChangingSlowest() {
    assertThat(
            titles(
                """
                  - {step: first, procedure: gain, power: 1 W}
                  - repeat: {mode: [u, t], channel: [left, right]}
                    steps:
                      - {step: a, procedure: gain, power: 1 W}
                      - {step: b, procedure: gain, power: 2 W, conditions: {tap: 8 ohm}}
                  - {step: last, procedure: gain, power: 1 W}
                """))
        .containsExactly(
            "first",
            "a (mode u, channel left)",
            "b (mode u, channel left, tap 8 ohm)",
            "a (mode u, channel right)",
            "b (mode u, channel right, tap 8 ohm)",
            "a (mode t, channel left)",
            "b (mode t, channel left, tap 8 ohm)",
            "a (mode t, channel right)",
            "b (mode t, channel right, tap 8 ohm)",
            "last");
  }

  @Test
  void aRepeatInARepeatChangesFaster() {
    assertThat(
            titles(
                """
                  - repeat: {mode: [u, t]}
                    steps:
                      - {step: a, procedure: gain, power: 1 W}
                      - repeat: {tap: [4 ohm, 8 ohm]}
                        steps:
                          - {step: b, procedure: gain, power: 1 W}
                """))
        .containsExactly(
            "a (mode u)",
            "b (mode u, tap 4 ohm)",
            "b (mode u, tap 8 ohm)",
            "a (mode t)",
            "b (mode t, tap 4 ohm)",
            "b (mode t, tap 8 ohm)");
  }

  @Test
  void aBenchHasItsRolesInOrderWithTheirRoutes() {
    Bench bench =
        YamlReader.read(
                "bench.yaml",
                """
                bench: small bench
                time: simulated
                roles:
                  relays:
                    driver: relay-switcher
                    kind: switcher
                    settings: {port: COM3}
                    routes:
                      rest: {group: mode}
                      left: {group: load, purpose: load, load: 8.02 ohm, settle: 50 ms, when: {tap: 8 ohm}}
                      triode: {group: mode, relays: [K1]}
                  meter:
                    driver: serial-meter
                    kind: meter
                """)
            .flatMap(BenchReader::read)
            .value();
    assertThat(bench.name()).isEqualTo("small bench");
    assertThat(bench.shop()).isEqualTo("shop");
    assertThat(bench.station()).isEqualTo("bench-1");
    assertThat(bench.time()).isEqualTo(TimeKind.SIMULATED);
    assertThat(bench.fixedLoad()).isEmpty();
    assertThat(bench.roles().keySet()).containsExactly("relays", "meter");
    assertThat(bench.roles().get("meter").kind()).isEqualTo(InstrumentKind.METER);
    assertThat(bench.roles().get("meter").settings().entries()).isEmpty();
    assertThat(bench.routes())
        .containsExactly(
            new Route(
                "rest",
                "mode",
                List.of(),
                Duration.ofMillis(20),
                Route.Purpose.OTHER,
                Conditions.NONE,
                null),
            new Route(
                "left",
                "load",
                List.of(),
                Duration.ofMillis(50),
                Route.Purpose.LOAD,
                Conditions.of("tap", "8 ohm"),
                Quantity.of(8.02, Unit.OHM)),
            new Route(
                "triode",
                "mode",
                List.of("K1"),
                Duration.ofMillis(20),
                Route.Purpose.OTHER,
                Conditions.NONE,
                null));
  }

  @Test
  void aBenchThatSwitchesNoLoadsHasAFixedOne() {
    Bench bench =
        YamlReader.read("bench.yaml", "bench: small bench\nfixed-load: 8.02 ohm\nroles: {}\n")
            .flatMap(BenchReader::read)
            .value();
    assertThat(bench.fixedLoad()).contains(Quantity.of(8.02, Unit.OHM));
  }
}
