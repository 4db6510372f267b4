package kitproof.limit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Objects;
import kitproof.limit.Judgement.Outcome;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Guarded acceptance after JCGM 106:2012, clauses 7 and 8, and ISO 14253-1:2017; numbers as in
 * decision_rules.csv, where the sources stand.
 */
class GuardedAcceptanceTest {
  private static final double INFINITE = Double.POSITIVE_INFINITY;

  private static Judge judge(String conformance, String rows) {
    return new Judge(
        LimitFile.read(
                "l.yaml",
                "limits: t\nproduct: p\nrevision: B\nrule: guarded acceptance\n"
                    + conformance
                    + "\njudge:\n"
                    + rows)
            .value());
  }

  private static Judgement judged(
      String conformance, String limits, double value, double below, double above, double nu) {
    return judge(conformance, "  - {result: y, " + limits + "}\n")
        .judge(
            Measurement.of("y", Conditions.NONE, Quantity.of(value, Unit.PERCENT))
                .with(Uncertainty.of(below, above, nu, List.of())));
  }

  private static Judgement.Guard guard(Judgement judgement) {
    return Objects.requireNonNull(judgement.guard());
  }

  /** The row "thd_limit_example TU=1.0 % u=0.04 %" with w = 1.65 u, and with w = U = 2 u. */
  @ParameterizedTest
  @CsvSource({
    "conformance: 95 %,    0.93, pass,              0.9599408431",
    "conformance: 95 %,    0.9342, pass,            0.9500100",
    "conformance: 95 %,    0.9343, in the guard band, 0.9497581",
    "'',                   0.9343, in the guard band, 0.9497581",
    "conformance: 95 %,    0.95, in the guard band, 0.8943502263",
    "conformance: 95 %,    0.99, in the guard band, 0.5987063257",
    "conformance: 95 %,    1.00, in the guard band, 0.5",
    "conformance: 95 %,    1.01, fail,              0.4012936743",
    "conformance: 97.725 %, 0.9199, pass,           0.9773849",
    "conformance: 97.725 %, 0.9201, in the guard band, 0.9771135",
    "conformance: 50 %,    0.9999, pass,            0.5009974",
  })
  void distortionWithAHighLimit(String conformance, double y, String outcome, double probability) {
    Judgement judgement = judged(conformance, "high: 1 %", y, 0.04, 0.04, INFINITE);
    assertThat(judgement.outcome()).hasToString(outcome);
    assertThat(guard(judgement).conformance()).isCloseTo(probability, within(1e-5));
    assertThat(guard(judgement).falseAccept()).isCloseTo(1 - probability, within(1e-5));
    assertThat(guard(judgement).falseReject()).isCloseTo(probability, within(1e-5));
  }

  /** JCGM 106, clause 7: the breakdown voltage, which conforms with 0.92. */
  @Test
  void theBreakdownVoltageIsInTheGuardBand() {
    Judge judge = judge("", "  - {result: y, high: -5.40 V}\n");
    Judgement judgement =
        judge.judge(
            Measurement.of("y", Conditions.NONE, Quantity.of(-5.47, Unit.VOLT))
                .with(Uncertainty.of(0.05, 0.05, INFINITE, List.of())));
    assertThat(judgement.outcome()).isEqualTo(Outcome.GUARD_BAND);
    assertThat(guard(judgement).conformance()).isCloseTo(0.92, within(0.005));
    assertThat(judgement.detail())
        .isEqualTo(
            "-5.47 V is below -5.4 V by less than its guard band of 82 mV; it conforms with 91.9 %");
  }

  /** Few degrees of freedom widen the guard band: t95 one-sided for 4 is 2.132 (common tables). */
  @Test
  void whatIsKnownFromFewRepeatsIsGuardedMore() {
    Judgement four = judged("", "high: 1 %", 0.93, 0.04, 0.04, 4);
    assertThat(four.outcome()).isEqualTo(Outcome.GUARD_BAND);
    assertThat(guard(four).high()).isCloseTo(2.132 * 0.04, within(1e-4));
    assertThat(judged("", "high: 1 %", 0.93, 0.04, 0.04, 400).outcome()).isEqualTo(Outcome.PASS);
  }

  @Test
  void eachLimitIsGuardedByTheUncertaintyTowardsIt() {
    // near the station's residual the truth may be far below, and hardly above
    Judgement high = judged("", "high: 1 %", 0.95, 0.4, 0.01, INFINITE);
    assertThat(high.outcome()).isEqualTo(Outcome.PASS);
    assertThat(guard(high).high()).isCloseTo(0.01645, within(1e-5));
    assertThat(guard(high).low()).isZero();
    Judgement low = judged("", "low: 0.5 %", 0.95, 0.4, 0.01, INFINITE);
    assertThat(low.outcome()).isEqualTo(Outcome.GUARD_BAND);
    assertThat(low.detail())
        .contains("0.95 % is above 0.5 % by less than its guard band of 0.66 %");
  }

  @Test
  void betweenTwoLimits() {
    assertThat(judged("", "low: 9 %, high: 10 %", 9.5, 0.05, 0.05, INFINITE).outcome())
        .isEqualTo(Outcome.PASS);
    Judgement low = judged("", "low: 9 %, high: 10 %", 9.05, 0.05, 0.05, INFINITE);
    assertThat(low.outcome()).isEqualTo(Outcome.GUARD_BAND);
    assertThat(guard(low).conformance()).isCloseTo(0.8413447, within(1e-6));
    assertThat(judged("", "low: 9 %, high: 10 %", 8.9, 0.05, 0.05, INFINITE).outcome())
        .isEqualTo(Outcome.FAIL);
    // wider than the limits are apart: nothing can be accepted
    assertThat(judged("", "low: 9 %, high: 10 %", 9.5, 0.4, 0.4, INFINITE).outcome())
        .isEqualTo(Outcome.GUARD_BAND);
  }

  @Test
  void whatIsCertainIsNotGuarded() {
    assertThat(judged("", "high: 1 %", 1, 0, 0, INFINITE).outcome()).isEqualTo(Outcome.PASS);
    assertThat(judged("", "high: 1 %", 1.0001, 0, 0, INFINITE).outcome()).isEqualTo(Outcome.FAIL);
  }

  @Test
  void anUncertaintyThatIsNotKnownNeverPasses() {
    Judgement judgement =
        judge("", "  - {result: y, high: 1 %}\n")
            .judge(Measurement.of("y", Conditions.NONE, Quantity.of(0.1, Unit.PERCENT)));
    assertThat(judgement.outcome()).isEqualTo(Outcome.FAIL);
    assertThat(judgement.detail())
        .isEqualTo("its uncertainty is not known, and guarded acceptance needs it");
  }

  @Test
  void simpleAcceptanceAsksForNoUncertainty() {
    Judgement judgement =
        JudgeTest.judge("  - {result: y, high: 1 %}\n")
            .judge(
                Measurement.of("y", Conditions.NONE, Quantity.of(0.99, Unit.PERCENT))
                    .with(Uncertainty.of(1, 1, 3, List.of())));
    assertThat(judgement.outcome()).isEqualTo(Outcome.PASS);
    assertThat(judgement.guard()).isNull();
  }

  private static final String MASK =
      """
        - result: y
          mask:
            - {at: 10 Hz, low: -1 dB, high: 1 dB}
            - {at: 10 kHz, low: -1 dB, high: 1 dB}
      """;

  private static Judgement curve(double[] levels, double[] standard) {
    double[] hertz = {10, 100, 1e3, 1e4};
    double[] degrees = {INFINITE, INFINITE, INFINITE, INFINITE};
    return judge("", MASK)
        .judge(
            Measurement.of("y", Conditions.NONE, Curve.of(Unit.HERTZ, hertz, Unit.DECIBEL, levels))
                .with(Uncertainty.of(standard, standard, degrees, List.of())));
  }

  @Test
  void eachPointOfACurveHasAGuardBandOfItsOwn() {
    double[] narrow = {0.1, 0.01, 0.01, 0.1};
    assertThat(curve(new double[] {0.8, 0.9, 0.9, -0.8}, narrow).outcome()).isEqualTo(Outcome.PASS);
    Judgement edge = curve(new double[] {0.8, 0.9, 0.9, -0.9}, narrow);
    assertThat(edge.outcome()).isEqualTo(Outcome.GUARD_BAND);
    assertThat(edge.detail())
        .isEqualTo(
            "at 10 kHz -0.9 dB is above -1 dB by less than its guard band of 0.16 dB; it conforms"
                + " with 84 %");
    assertThat(guard(edge).low()).isCloseTo(0.1645, within(1e-4));
    assertThat(curve(new double[] {0.8, 1.01, 0.9, -0.9}, narrow).outcome())
        .isEqualTo(Outcome.FAIL);
  }

  @Test
  void theWiderGuardBandHoldsBetweenTwoPoints() {
    double[] hertz = {9, 11, 9e3, 11e3}; // the corners at 10 Hz and 10 kHz lie between them
    double[] degrees = {INFINITE, INFINITE, INFINITE, INFINITE};
    Judgement judgement =
        judge("", MASK)
            .judge(
                Measurement.of(
                        "y",
                        Conditions.NONE,
                        Curve.of(
                            Unit.HERTZ, hertz, Unit.DECIBEL, new double[] {0.9, 0.9, 0.5, 0.5}))
                    .with(
                        Uncertainty.of(
                            new double[] {0.2, 0.01, 0.01, 0.01},
                            new double[] {0.2, 0.01, 0.01, 0.01},
                            degrees,
                            List.of())));
    assertThat(judgement.outcome()).isEqualTo(Outcome.GUARD_BAND);
    assertThat(judgement.detail()).startsWith("at 10 Hz 0.9 dB is below 1 dB");
  }

  @Test
  void conformanceBelongsToGuardedAcceptance() {
    assertThat(
            LimitFile.read(
                    "l.yaml",
                    "limits: t\nproduct: p\nrevision: B\nrule: simple acceptance\n"
                        + "conformance: 95 %\njudge:\n  - {result: y, high: 1 %}\n")
                .problems())
        .singleElement()
        .hasToString(
            "l.yaml:5:14: found conformance beside rule: simple acceptance; expected rule: guarded"
                + " acceptance");
  }
}
