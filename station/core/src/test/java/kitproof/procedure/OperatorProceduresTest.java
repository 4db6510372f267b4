package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.Map;
import kitproof.driver.Answer;
import kitproof.driver.InstrumentException;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** What a person is asked, and what becomes of the answers. */
class OperatorProceduresTest {
  private static final String ADJUST =
      "say: turn, control: trimmer, meter: meter, function: hv, result: bias,"
          + " window: 8 V..9 V, dwell: 2 s, every: 500 ms, give-up-after: 30 s";

  private final FormulaBench bench = new FormulaBench();

  private Map<String, Figure> measure(String procedure, String settings) throws Exception {
    Map<String, Figure> figures = bench.measure(procedure, "{" + settings + "}");
    assertThat(bench.operator.standing).as("the question is taken back").isNull();
    return figures;
  }

  @Test
  void aPromptWaitsForItsConfirmationAndYieldsNothing() throws Exception {
    bench.operator.looksBefore = 50;
    bench.operator.answers.add(new Answer.Done());
    assertThat(measure("prompt", "say: close the cover, caution: HV is on")).isEmpty();
    assertThat(bench.operator.asked)
        .containsExactly(new Question.Confirm("close the cover", "HV is on"));
    assertThat(bench.elapsed()).isEqualTo(Duration.ofSeconds(5));
    assertThat(bench.answered).containsExactly("done");
    assertThat(bench.stops).isEmpty();
  }

  @Test
  void whoDeclinesAPromptStopsTheRun() throws Exception {
    bench.operator.answers.add(new Answer.Declined("a valve is missing"));
    measure("prompt", "say: insert the valves");
    assertThat(bench.stops).containsExactly("the operator declined: a valve is missing");
  }

  @Test
  void aPromptThatNobodyAnswersStopsTheRunWhenItsPatienceIsOver() throws Exception {
    measure("prompt", "say: insert the valves, patience: 20 s");
    assertThat(bench.stops).containsExactly("nobody answered in time");
    assertThat(bench.elapsed()).isBetween(Duration.ofSeconds(20), Duration.ofSeconds(21));
  }

  @Test
  void anEntryIsAMeasurementLikeAnyOther() throws Exception {
    bench.operator.answers.add(new Answer.Value(Quantity.of(331, Unit.VOLT)));
    Map<String, Figure> figures =
        measure("entry", "say: read it, result: hv by eye, plausible: 0 V..600 V");
    assertThat(FormulaBench.number(figures.get("hv by eye"))).isEqualTo(331);
    assertThat(bench.answered).containsExactly("331 V");
  }

  @Test
  void anEntryDeclinedOrNotAnsweredIsInvalid() throws Exception {
    bench.operator.answers.add(new Answer.Declined(""));
    String settings = "say: read it, result: hv by eye, plausible: 0 V..600 V, patience: 5 s";
    assertThat(FormulaBench.reason(measure("entry", settings).get("hv by eye")))
        .isEqualTo("the operator declined");
    assertThat(FormulaBench.reason(measure("entry", settings).get("hv by eye")))
        .isEqualTo("nobody answered in time");
  }

  @Test
  void anAdjustmentIsAcceptedWhenItStayedInsideForTheDwellAndNotBefore() throws Exception {
    // In at 1 s, out again at 2 s, in for good at 5 s, at 8.5 V plus 10 mV per second.
    bench.meter.function(
        "hv",
        Unit.VOLT,
        () -> {
          double t = bench.elapsed().toNanos() / 1e9;
          boolean inside = (t >= 1 && t < 2) || t >= 5;
          return inside ? 8.5 + (t - 5) * 0.01 : 12;
        });
    Map<String, Figure> figures = measure("adjust", ADJUST);
    assertThat(bench.elapsed()).isEqualTo(Duration.ofSeconds(7));
    assertThat(FormulaBench.number(figures.get("bias")))
        .as("the mean from 5 s to 7 s")
        .isEqualTo(8.51, within(1e-9));
    LiveValue last = bench.operator.shown.get(bench.operator.shown.size() - 1);
    assertThat(last.inside()).isTrue();
    assertThat(last.settled()).isEqualTo(Duration.ofSeconds(2));
    assertThat(bench.operator.shown.get(2).settled()).isZero();
    assertThat(bench.operator.shown.get(0).inside()).isFalse();
  }

  @Test
  void anAdjustmentGivenUpIsInvalidAndSaysWhy() throws Exception {
    bench.meter.function("hv", Unit.VOLT, () -> 12);
    assertThat(FormulaBench.reason(measure("adjust", ADJUST).get("bias")))
        .isEqualTo("did not stay between 8 V and 9 V for 2000 ms within 30 s");
    assertThat(bench.elapsed()).isBetween(Duration.ofSeconds(30), Duration.ofSeconds(31));
    bench.operator.answers.add(new Answer.Declined("the trimmer turns through"));
    assertThat(FormulaBench.reason(measure("adjust", ADJUST).get("bias")))
        .isEqualTo("the operator declined: the trimmer turns through");
  }

  @Test
  void aReadingWithoutAValueBreaksTheDwell() throws Exception {
    Reading good = new Reading.Value(Quantity.of(8.5, Unit.VOLT));
    bench.readings(good, good, new Reading.Overload(false), good);
    measure("adjust", ADJUST);
    assertThat(bench.elapsed()).isEqualTo(Duration.ofMillis(1500 + 2000));
    assertThat(bench.operator.shown.get(2).trouble()).contains("overload");
  }

  @Test
  void aWindowInAnotherUnitIsTheStationsMistake() {
    bench.meter.function("hv", Unit.AMPERE, () -> 1);
    assertThatThrownBy(() -> measure("adjust", ADJUST))
        .isInstanceOf(InstrumentException.class)
        .hasMessage("meter reads hv in A, the window is in V");
    assertThat(bench.operator.standing).isNull();
  }
}
