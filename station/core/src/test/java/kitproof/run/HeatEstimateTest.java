package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Path;
import java.util.List;
import java.util.stream.Collectors;
import kitproof.document.YamlReader;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.procedure.Procedures;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

/** What a plan will heat loads with, before anything is touched. */
class HeatEstimateTest {
  private static final Path EXAMPLES = Path.of("..", "examples", "linnet-12");

  private static Plan plan(String steps) {
    String text =
        "plan: heat\nproduct: Linnet 12\nrevision: B\nlimits: limits.yaml\nsteps:\n" + steps;
    return YamlReader.read("plan.yaml", text)
        .flatMap(s -> PlanReader.read(s, Path.of("plan.yaml")))
        .value();
  }

  private static Bench bench(String fixed, String loads) {
    String text =
        "bench: heat\n"
            + fixed
            + "roles:\n"
            + "  relays:\n    driver: fake\n    kind: switcher\n    routes:\n"
            + "      drive muted: {group: drive, purpose: mute}\n"
            + "      drive left: {group: drive, purpose: drive, relays: [K1], when: {channel: left}}\n"
            + loads
            + "  audio: {driver: fake, kind: audio-interface}\n";
    return YamlReader.read("bench.yaml", text).flatMap(BenchReader::read).value();
  }

  private static final String ONE_LOAD =
      "      left 8 ohm: {group: left load, purpose: load, load: 8 ohm, rating: 10 W,"
          + " when: {channel: left, tap: 8 ohm}}\n";

  private static String distortion(String name, String power, String listen) {
    return "  - {step: %s, procedure: distortion, conditions: {channel: left, tap: 8 ohm}, power: %s, listen: %s}\n"
        .formatted(name, power, listen);
  }

  @Test
  void aLoadWarmsFromStepToStepAndCoolsInBetween() {
    Plan plan =
        plan(
            distortion("first", "8 W", "27 s")
                + "  - {step: idle, procedure: prompt, say: wait, wait: 30 s}\n"
                + distortion("second", "8 W", "27 s"));
    List<HeatEstimate.Step> steps = HeatEstimate.of(plan, bench("", ONE_LOAD)).steps();
    // Each step takes 30 s in all, half the time constant: 8 W · (1 − e^(−1/2)) = 3.15 W.
    assertThat(steps.get(0).mean()).isCloseTo(8 * (1 - Math.exp(-0.5)), within(1e-9));
    double idle =
        (30 + plan.steps().get(1).outline().expected().toNanos() / 1e9) / 60; // then cooled so long
    assertThat(steps.get(1).mean())
        .isCloseTo(
            8 * (1 - Math.exp(-0.5)) * Math.exp(-idle) * Math.exp(-0.5) + 8 * (1 - Math.exp(-0.5)),
            within(1e-9));
    assertThat(steps).allMatch(step -> step.cooling().isZero());
    assertThat(steps.get(0).toString())
        .isEqualTo(plan.steps().get(0).title() + ": load \"left 8 ohm\" at 31 % of its 10 W");
  }

  @Test
  void aStepThatMayHaveToWaitIsToldWithItsTime() {
    HeatEstimate.Result result =
        HeatEstimate.of(
            plan(distortion("first", "15 W", "27 s") + distortion("second", "15 W", "27 s")),
            bench("", ONE_LOAD));
    assertThat(result.problems()).isEmpty();
    assertThat(result.steps()).allMatch(step -> step.cooling().isZero(), "9.48 W after both");
    result =
        HeatEstimate.of(
            plan(distortion("first", "20 W", "27 s") + distortion("second", "20 W", "27 s")),
            bench("", ONE_LOAD));
    // After the first 7.87 W; before the second it must be at 10 − 20·(1 − e^(−1/2)) over e^(−1/2).
    double left = (10 - 20 * (1 - Math.exp(-0.5))) / Math.exp(-0.5);
    double first = 20 * (1 - Math.exp(-0.5));
    assertThat(result.steps().get(1).cooling().toNanos() / 1e9)
        .isCloseTo(60 * Math.log(first / left), within(1e-6));
    assertThat(result.steps().get(1).toString()).endsWith(", may wait 49 s to cool");
  }

  @Test
  void whatEvenAColdLoadWouldNotStandIsRefusedBeforeAnythingIsTouched() {
    List<Problem> problems =
        HeatEstimate.of(plan(distortion("roast", "40 W", "30 s")), bench("", ONE_LOAD)).problems();
    assertThat(problems).hasSize(1);
    assertThat(problems.get(0).toString())
        .startsWith(
            "plan.yaml:6:5: found 40.0 W for 30.0 s in one signal into load \"left 8 ohm\";")
        .endsWith("even cold the load stands 10 W over 60 s");
  }

  /** 240 tones of 150 ms are 36 s, of which no stream is longer than 3 s. */
  @Test
  void manyTonesAreNotOneSignal() {
    String many =
        "  - {step: tones, procedure: distortion-against-frequency, conditions: {channel: left,"
            + " tap: 8 ohm}, power: 100 W, frequencies: 20 Hz..20 kHz, per-octave: 24}\n";
    assertThat(HeatEstimate.of(plan(many), bench("", ONE_LOAD)).problems()).isEmpty();
    String lasting = many.replace("per-octave: 24", "per-octave: 1, listen: 15 s");
    assertThat(HeatEstimate.of(plan(lasting), bench("", ONE_LOAD)).problems())
        .singleElement()
        .asString()
        .contains("found 100.0 W for 15.0 s in one signal");
  }

  @Test
  void fixedLoadsHaveARatingToo() {
    Bench bench = bench("fixed-load: 8 ohm\nfixed-load-rating: 10 W\n", "");
    HeatEstimate.Result result =
        HeatEstimate.of(
            plan(
                "  - {step: roast, procedure: distortion, conditions: {channel: left}, power: 40 W, listen: 30 s}\n"),
            bench);
    assertThat(result.steps()).hasSize(1);
    assertThat(result.problems()).singleElement().asString().contains("into load \"fixed load\"");
  }

  @Test
  void aSmallerSecondLoadTakesMoreThanTheStepStates() {
    Bench bench =
        bench(
            "",
            ONE_LOAD
                + "      left 8 ohm, second load: {group: left load, purpose: load, load: 4 ohm,"
                + " rating: 10 W, relays: [K2]}\n");
    HeatEstimate.Step step =
        HeatEstimate.of(
                plan(
                    "  - {step: source, procedure: output-impedance,"
                        + " conditions: {channel: left, tap: 8 ohm}, power: 2 W,"
                        + " second-load: '{channel} {tap}, second load'}\n"),
                bench)
            .steps()
            .get(0);
    assertThat(step.load()).isEqualTo("left 8 ohm, second load");
    assertThat(step.power()).isEqualTo(4);
  }

  @Test
  void theLinnetPlanStaysFarBelowTheRatingsOfItsBench() {
    HeatEstimate.Result result =
        HeatEstimate.of(
            PlanReader.read(EXAMPLES.resolve("plan.yaml")).value(),
            BenchReader.read(EXAMPLES.resolve("bench-simulated.yaml")).value());
    assertThat(result.problems()).isEmpty();
    assertThat(result.steps())
        .hasSizeGreaterThan(20)
        .allSatisfy(step -> assertThat(step.share()).isLessThan(0.6))
        .allMatch(step -> step.cooling().isZero());
  }

  @Test
  void everyStepOfTheLinnetPlanThatDrivesSaysWithHowMuch() {
    Plan plan = PlanReader.read(EXAMPLES.resolve("plan.yaml")).value();
    List<String> driving =
        plan.steps().stream()
            .filter(step -> step.outline().drives())
            .map(step -> step.procedure().id())
            .distinct()
            .toList();
    assertThat(plan.steps())
        .filteredOn(step -> step.outline().drives())
        .allMatch(step -> step.outline().drive() != null);
    // Of all that drive none is left out of the plan, so that none can forget to say it.
    assertThat(driving).hasSize(15);
    assertThat(Procedures.ids()).containsAll(driving);
  }

  @Test
  void theFirstSignalOfAStepIsReckonedWithTheStatedPower() throws Exception {
    FakeStation station = new FakeStation();
    station.bench =
        station.bench.replace(
            "load: 8.02 ohm,", "load: 8.02 ohm, rating: 20 mW, rating-time: 2 s,");
    // 1 W for a tenth of a second is 49 mW over 2 s: even the first, whose drive is far smaller.
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(reason(station)).contains("load \"left 8 ohm tap\" would take 1.0 W for");
    Invariants.check(station, "too hot from the first");
  }

  @Test
  void aRunWaitsForFixedLoadsEachOfItsOwn() throws Exception {
    FakeStation station = new FakeStation();
    station.bench =
        station
            .bench
            .lines()
            .filter(line -> !line.contains("purpose: load"))
            .collect(Collectors.joining("\n", "", "\n"))
            .replace(
                "roles:",
                "fixed-load: 8 ohm\nfixed-load-rating: 150 mW\nfixed-load-rating-time: 2 s\nroles:");
    station.plan = station.plan.replace(", tap: [4 ohm, 8 ohm]", "").replace("tap: 8 ohm, ", "");
    assertThat(station.run()).as(reason(station)).isEqualTo(Verdict.PASS);
    assertThat(station.events(Event.Notice.class))
        .isNotEmpty()
        .allSatisfy(n -> assertThat(n.text()).startsWith("load \"fixed load, left\" cools for "));
  }

  private static String reason(FakeStation station) {
    return station.events(Event.RunEnded.class).get(0).reason();
  }
}
