package kitproof.limit;

import static org.assertj.core.api.Assertions.assertThat;

import kitproof.limit.Judgement.Outcome;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class JudgeTest {
  private static final String HEAD =
      "limits: t\nproduct: p\nrevision: B\nrule: simple acceptance\njudge:\n";

  private static final Judge JUDGE =
      judge(
          """
            - {result: gain, low: 20 dB, high: 30 dB}
            - {result: gain, when: {mode: triode}, low: 25 dB, high: 26 dB}
            - {result: gain, when: {mode: triode, tap: 8 ohm}, low: 26 dB, high: 27.6 dB}
            - {result: hv, low: 313.5 V}
            - {result: thd, high: 1 %}
            - result: response
              mask:
                - {at: 20 Hz, low: -1 dB, high: 0.5 dB}
                - {at: 20 kHz, low: -1 dB, high: 0.5 dB}
          """);

  static Judge judge(String rows) {
    return new Judge(LimitFile.read("l.yaml", HEAD + rows).value());
  }

  private static Judgement judge(String name, Conditions conditions, String quantity) {
    return JUDGE.judge(Measurement.of(name, conditions, Quantity.parse(quantity)));
  }

  @ParameterizedTest
  @CsvSource({
    "26 dB, pass, 26 dB to 27.6 dB",
    "27.6 dB, pass, 26 dB to 27.6 dB",
    "25.1 dB, fail, 25.1 dB is below 26 dB",
    "27.7 dB, fail, 27.7 dB is above 27.6 dB",
    "25.99999 dB, fail, 25.99999 dB is below 26 dB",
    "26.8 V, fail, 'the limit is in dB, the result in V'",
    "26.8, fail, 'the limit is in dB, the result in plain numbers'",
  })
  void aQuantityIsComparedWithBothEndsWhichAreGood(String value, String outcome, String detail) {
    Judgement judgement =
        judge("gain", Conditions.of("mode", "triode").with("tap", "8 ohm"), value);
    assertThat(judgement.outcome()).hasToString(outcome);
    assertThat(judgement.detail()).isEqualTo(detail);
    assertThat(judgement.limit())
        .isEqualTo(
            new Limit.Scalar(Quantity.of(26, Unit.DECIBEL), Quantity.of(27.6, Unit.DECIBEL)));
  }

  @ParameterizedTest
  @CsvSource({
    "hv, 313.5 V, pass, at least 313.5 V",
    "hv, 1 kV, pass, at least 313.5 V",
    "hv, 313.4999999 V, fail, 313.4999999 V is below 313.5 V",
    "thd, 0.2 %, pass, at most 1 %",
    "thd, 1.0000001 %, fail, 1.0000001 % is above 1 %",
  })
  void oneEndAloneLimitsOneSide(String name, String value, String outcome, String detail) {
    assertThat(judge(name, Conditions.NONE, value).outcome()).hasToString(outcome);
    assertThat(judge(name, Conditions.NONE, value).detail()).isEqualTo(detail);
  }

  @Test
  void ofSeveralLimitsTheOneWithMostConditionsIsTaken() {
    Conditions triode = Conditions.of("mode", "triode");
    assertThat(judge("gain", triode.with("tap", "8 ohm"), "27 dB").outcome())
        .isEqualTo(Outcome.PASS);
    assertThat(judge("gain", triode.with("tap", "4 ohm"), "27 dB").outcome())
        .isEqualTo(Outcome.FAIL);
    assertThat(judge("gain", Conditions.of("mode", "ultralinear"), "27 dB").outcome())
        .isEqualTo(Outcome.PASS);
    assertThat(JUDGE.entryFor("gain", triode.with("channel", "left")).orElseThrow().when())
        .isEqualTo(triode);
  }

  @Test
  void aResultWithoutALimitIsNotJudged() {
    assertThat(judge("noise", Conditions.NONE, "1 mV"))
        .isEqualTo(new Judgement(Outcome.NOT_JUDGED, null, "there is no limit"));
    assertThat(JUDGE.judge(Measurement.invalid("noise", Conditions.NONE, "the capture clipped")))
        .isEqualTo(new Judgement(Outcome.NOT_JUDGED, null, "the capture clipped"));
  }

  @Test
  void aResultWithoutAValidFigureFailsItsLimit() {
    Judgement judgement =
        JUDGE.judge(Measurement.invalid("hv", Conditions.NONE, "the meter shows overload"));
    assertThat(judgement.outcome()).isEqualTo(Outcome.FAIL);
    assertThat(judgement.detail()).isEqualTo("the meter shows overload");
    assertThat(judgement.limit()).isNotNull();
  }

  @Test
  void aCurveAndALimitForAQuantityNeverPassAndNeitherTheOtherWayRound() {
    Curve curve = Curve.of(Unit.SECOND, new double[] {0, 1}, Unit.VOLT, new double[] {330, 330});
    Judgement one = JUDGE.judge(Measurement.of("hv", Conditions.NONE, curve));
    assertThat(one.outcome()).isEqualTo(Outcome.FAIL);
    assertThat(one.detail()).isEqualTo("the limit is for a single quantity, the result is a curve");
    Judgement other = judge("response", Conditions.NONE, "0 dB");
    assertThat(other.outcome()).isEqualTo(Outcome.FAIL);
    assertThat(other.detail())
        .isEqualTo("the limit is a mask for a curve, the result is a single quantity");
  }
}
