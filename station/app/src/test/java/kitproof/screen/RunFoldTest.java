package kitproof.screen;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.calibration.Standing;
import kitproof.cause.Suggestion;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import org.junit.jupiter.api.Test;

class RunFoldTest {
  private static final Instant START = Instant.parse("2026-11-25T10:00:00Z");
  private static final Suggestion CAUSE = new Suggestion("valves", "look", "", List.of("hv"));

  private final RunFold fold = new RunFold(results -> List.of(CAUSE));
  private long sequence;

  private void tell(Event event) {
    fold.add(new Entry("run", sequence, START.plusSeconds(sequence), event));
    sequence++;
  }

  private RunView view() {
    return fold.view(START.plusSeconds(sequence), false, false, null, null);
  }

  private void start() {
    List<Event.PlannedStep> steps = new ArrayList<>();
    for (String name : List.of("first power", "hv", "discharge")) {
      steps.add(new Event.PlannedStep(name, Conditions.NONE, Duration.ofSeconds(10)));
    }
    tell(
        new Event.RunStarted(
            "run",
            "attic",
            "bench-1",
            "LN12-001",
            "pilot",
            "Linnet 12",
            "B",
            "short",
            Map.of(),
            steps));
  }

  private void judged(String name, String value, Judgement.Outcome outcome, String detail) {
    Limit limit = new Limit.Scalar(Quantity.parse("318 V"), null);
    tell(
        new Event.ResultJudged(
            0,
            Measurement.of(name, Conditions.NONE, Quantity.parse(value)),
            new Judgement(outcome, limit, detail)));
  }

  @Test
  void beforeItsStartThereIsNothingToShow() {
    assertThat(view()).isNull();
    assertThat(fold.opening().word()).isEqualTo("no");
  }

  @Test
  void itSaysWhereTheRunIsAndWhatIsLeft() {
    start();
    assertThat(view().index()).isEqualTo(-1);
    tell(new Event.StepStarted(0, "first power", "supply-rise", Conditions.NONE));
    assertThat(view().step()).isEqualTo("first power");
    assertThat(view().steps()).isEqualTo(3);
    tell(
        new Event.StepFinished(
            0, "first power", Conditions.NONE, StepOutcome.PASSED, "", Duration.ofSeconds(20)));
    tell(new Event.StepStarted(1, "hv", "reading", Conditions.NONE));
    assertThat(view().share()).isEqualTo(1 / 3.0);
    assertThat(view().leftSeconds()).as("the rest at the pace so far").isEqualTo(39);
  }

  /**
   * A run that makes a calibration has none yet; what it corrects it tells, so nothing denies it.
   */
  @Test
  void aRunThatCalibratesSaysSo() {
    start();
    assertThat(view().uncalibrated()).isFalse();
    for (Standing standing :
        List.of(Standing.uncalibrated("there is none"), Standing.calibrating(Optional.empty()))) {
      String told = standing.saying("LOCK OPENED", "opened").ofCalibration().orElseThrow();
      tell(new Event.CalibrationTold(!standing.isUncalibrated(), told, List.of()));
      assertThat(view().uncalibrated()).isTrue();
      assertThat(view().calibrates()).isEqualTo(standing.told().get(0).contains("calibrates"));
    }
    tell(new Event.CalibrationTold(true, "calibrated on 2026-11-26", List.of()));
    assertThat(view().uncalibrated()).isFalse();
    assertThat(view().calibrates()).isFalse();
  }

  @Test
  void resultsAreCountedTheLatestFirstAndFailuresKept() {
    start();
    for (int i = 0; i < 20; i++) {
      judged("r" + i, "330 V", Judgement.Outcome.PASS, "at least 318 V");
    }
    judged("low", "300 V", Judgement.Outcome.FAIL, "300 V is below 318 V");
    judged("free", "3 V", Judgement.Outcome.NOT_JUDGED, "there is no limit");
    RunView view = view();
    assertThat(view.passed()).isEqualTo(20);
    assertThat(view.failed()).isEqualTo(1);
    assertThat(view.others()).isEqualTo(1);
    assertThat(view.results()).hasSize(8);
    assertThat(view.results().get(0).title()).isEqualTo("low");
    assertThat(view.results().get(1).limit()).isEqualTo("at least 318 V");
    assertThat(view.failures())
        .extracting(RunView.ResultView::detail)
        .containsExactly("300 V is below 318 V");
  }

  @Test
  void howWellAResultIsKnownStandsBesideIt() {
    start();
    Measurement measurement = Measurement.of("hv", Conditions.NONE, Quantity.parse("330 V"));
    tell(
        new Event.ResultJudged(
            0,
            measurement.with(Uncertainty.of(0.6, 0.6, 50, List.of())),
            new Judgement(
                Judgement.Outcome.PASS,
                new Limit.Scalar(Quantity.parse("318 V"), null),
                "at least 318 V")));
    judged("other", "330 V", Judgement.Outcome.PASS, "at least 318 V");
    assertThat(view().results())
        .extracting(RunView.ResultView::uncertainty)
        .as("the latest first; nothing is known of it")
        .containsExactly("", "\u00b1\u00a01.2\u00a0V at k = 2");
  }

  @Test
  void whatIsKeptIsBounded() {
    start();
    for (int i = 0; i < 500; i++) {
      judged("r" + i, "300 V", Judgement.Outcome.FAIL, "300 V is below 318 V");
      tell(new Event.Notice("notice " + i));
    }
    assertThat(view().failures()).hasSize(40);
    assertThat(view().notices()).hasSize(40);
    assertThat(view().failed()).isEqualTo(500);
  }

  @Test
  void doNotOpenHoldsUntilTheDischargeIsMeasured() {
    start();
    assertThat(fold.opening().word()).isEqualTo("no");
    tell(new Event.OpeningTold(SafeToOpen.NO, "mains is applied; the HV rail is live"));
    assertThat(fold.opening().reason()).contains("live");
    tell(new Event.OpeningTold(SafeToOpen.YES, "3 readings below 30 V"));
    assertThat(fold.opening().word()).isEqualTo("yes");
  }

  @Test
  void aRunThatBreaksOffLeavesTheUnitUnknownUnlessItWasMeasured() {
    start();
    tell(new Event.OpeningTold(SafeToOpen.NO, "mains is applied"));
    fold.brokeOff();
    assertThat(fold.opening().word()).isEqualTo("unknown");
  }

  @Test
  void aSafeStateThatWasNotConfirmedIsToldInFull() {
    start();
    tell(new Event.SafeState("stop", false, "K1 is stuck"));
    assertThat(view().notices())
        .singleElement()
        .asString()
        .contains("NOT CONFIRMED", "K1 is stuck", "emergency stop", "do not open");
  }

  @Test
  void aFailureComesWithItsProbableCausesAPassWithNone() {
    start();
    tell(new Event.RunEnded(Verdict.FAIL, "hv", List.of("hv")));
    assertThat(view().verdict()).isEqualTo("fail");
    assertThat(view().causes()).containsExactly(CAUSE);
    assertThat(view().share()).isEqualTo(1);
    assertThat(fold.over()).isTrue();
    RunFold good = new RunFold(results -> List.of(CAUSE));
    good.add(new Entry("run", 0, START, new Event.RunEnded(Verdict.PASS, "", List.of())));
    assertThat(good.over()).isTrue();
  }
}
