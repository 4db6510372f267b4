package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.procedure.ReferenceUnit;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** A run whose plan compares with another unit. */
class ReferenceRunTest {
  private static final Conditions CONDITIONS =
      Conditions.of("channel", "left")
          .with("tap", "8 ohm")
          .with("mode", "triode")
          .with("power", "1.5 W");
  private final FakeStation station = new FakeStation();

  /** Of the station, whose amplifier has a gain of 20 (26.02 dB). */
  private void plan(String against) {
    station.plan =
        FakeStation.PLAN.replace(
            "shut-down:\n",
            """
              - step: gain to compare
                procedure: gain
                conditions: {channel: left, tap: 8 ohm, mode: triode}
                power: 1.5 W
              - step: beside the other
                procedure: comparison
                conditions: {channel: left, tap: 8 ohm, mode: triode}
                result: gain
                of: {power: 1.5 W}
                against: {unit: %s}
            shut-down:
            """
                .formatted(against));
    station.limits +=
        "  - {result: gain difference, when: {against unit: "
            + against
            + "}, low: -0.5 dB, high: 0.5 dB}\n";
  }

  private static References with(String name, String product, Measurement... results) {
    return References.of(
        Map.of(
            name,
            new ReferenceUnit(
                "LN12-007", product, "B", "run7", 1, "sha256:07", false, List.of(results))),
        List.of("LN12-007", "LN12-008"));
  }

  private static Measurement gain(double db) {
    return Measurement.of("gain", CONDITIONS, Quantity.of(db, Unit.DECIBEL));
  }

  private Verdict run(References references) throws Exception {
    assertThat(Preflight.references(station.plan(), references, "LN12-001")).isEmpty();
    return new Sequencer(station.request().comparedWith(references)).run();
  }

  private Event.ResultJudged difference() {
    return station.events(Event.ResultJudged.class).stream()
        .filter(e -> e.measurement().name().equals("gain difference"))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void theDifferenceIsJudgedAndTheRecordSaysWithWhat() throws Exception {
    plan("reference");
    assertThat(run(with("reference", station.plan().product(), gain(25.9))))
        .isEqualTo(Verdict.PASS);
    assertThat(difference().judgement().outcome()).isEqualTo(Judgement.Outcome.PASS);
    assertThat(station.events(Event.RunStarted.class).get(0).digests())
        .containsEntry("record of unit LN12-007", "sha256:07");
    assertThat(station.events(Event.Notice.class))
        .extracting(Event.Notice::text)
        .contains("compared with reference unit LN12-007, attempt 1 (run run7), sha256:07");
  }

  @Test
  void aUnitThatIsFarFromTheOtherFails() throws Exception {
    plan("LN12-007");
    assertThat(run(with("LN12-007", station.plan().product(), gain(25)))).isEqualTo(Verdict.FAIL);
    assertThat(difference().judgement().outcome()).isEqualTo(Judgement.Outcome.FAIL);
  }

  @Test
  void withoutAReferenceTheStepIsLeftOutAndItsLimitAsksForNothing() throws Exception {
    plan("reference");
    assertThat(run(References.NONE)).isEqualTo(Verdict.PASS);
    assertThat(station.outcome("beside the other")).isEqualTo(StepOutcome.SKIPPED);
    assertThat(station.events(Event.StepFinished.class))
        .anyMatch(e -> e.reason().startsWith("no reference unit was named"));
  }

  /**
   * A plan that lost its comparison of modes: what is beside the reference stands in for nothing.
   */
  @Test
  void aGeneralLimitIsNotMetByWhatAMoreSpecificOneJudges() throws Exception {
    plan("reference");
    station.limits += "  - {result: gain difference, low: -2 dB, high: -0.5 dB}\n";
    assertThat(run(References.NONE)).isEqualTo(Verdict.ERROR);
    assertThat(ended().reason()).isEqualTo("no measurement met the limit for gain difference");
    assertThat(Preflight.limits(station.request().limits(), station.plan()))
        .singleElement()
        .asString()
        .contains("limits.yaml:", "a limit for gain difference that judges nothing");
  }

  @Test
  void norWhereTheReferenceWasNamed() throws Exception {
    plan("reference");
    station.limits += "  - {result: gain difference, low: -2 dB, high: -0.5 dB}\n";
    assertThat(run(with("reference", station.plan().product(), gain(25.9))))
        .isEqualTo(Verdict.ERROR);
    assertThat(ended().reason()).isEqualTo("no measurement met the limit for gain difference");
  }

  private Event.RunEnded ended() {
    return station.events(Event.RunEnded.class).get(0);
  }

  @Test
  void whatWasLeftOutIsOnRecord() throws Exception {
    plan("reference");
    assertThat(run(References.NONE)).isEqualTo(Verdict.PASS);
    Event.ResultsLeftOut left = station.events(Event.ResultsLeftOut.class).get(0);
    assertThat(left.results())
        .containsExactly(
            new Event.Awaited("gain difference", CONDITIONS.with("against unit", "reference")));
  }

  @Test
  void theReferenceItselfIsTestedForTheFirstTimeByTheSamePlan() throws Exception {
    plan("LN12-001");
    assertThat(run(References.NONE)).isEqualTo(Verdict.PASS);
    assertThat(station.events(Event.StepFinished.class))
        .anyMatch(e -> e.reason().startsWith("this unit is the reference"));
  }

  private List<String> problems(References references) {
    return Preflight.references(station.plan(), references, "LN12-001").stream()
        .map(Problem::toString)
        .toList();
  }

  @Test
  void whatCannotBeComparedIsRefusedBeforeTheRun() {
    plan("LN12-077");
    String product = station.plan().product();
    assertThat(problems(with("reference", product, gain(25))))
        .singleElement()
        .asString()
        .contains("plan.yaml:", "no passed record", "did you mean \"LN12-007\"?");
    assertThat(problems(with("LN12-077", "Wren 5", gain(25))))
        .singleElement()
        .asString()
        .contains("a Wren 5; expected a record of a " + product);
    assertThat(
            problems(
                with(
                    "LN12-077",
                    product,
                    Measurement.of("gains", CONDITIONS, Quantity.of(1, Unit.DECIBEL)))))
        .singleElement()
        .asString()
        .contains("did you mean \"gains\"?");
    assertThat(
            problems(
                with(
                    "LN12-077",
                    product,
                    Measurement.of(
                        "gain",
                        CONDITIONS.with("channel", "right"),
                        Quantity.of(1, Unit.DECIBEL)))))
        .singleElement()
        .asString()
        .contains("found no gain of LN12-007");
    assertThat(problems(with("LN12-077", product, gain(25), gain(26))))
        .singleElement()
        .asString()
        .contains("found 2 results gain");
    assertThat(
            problems(with("LN12-077", product, Measurement.invalid("gain", CONDITIONS, "clipped"))))
        .singleElement()
        .asString()
        .contains("an invalid gain of LN12-007", "clipped");
    assertThat(
            problems(
                with(
                    "LN12-077",
                    product,
                    Measurement.of("gain", CONDITIONS, Quantity.of(20, Unit.ONE)))))
        .singleElement()
        .asString()
        .contains("expected the same in what this plan measures it in");
  }
}
