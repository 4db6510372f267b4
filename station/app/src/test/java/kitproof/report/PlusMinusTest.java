package kitproof.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

class PlusMinusTest {
  private static Measurement figure(Unit unit, double below, double above) {
    return Measurement.of("f", Conditions.NONE, Quantity.of(1, unit))
        .with(Uncertainty.of(below, above, Double.POSITIVE_INFINITY, List.of()));
  }

  /** With plain spaces for those that keep a number and its unit together. */
  private static String told(Measurement measurement) {
    return PlusMinus.of(measurement).orElseThrow().replaceAll("[\u00a0\u2009\u202f]", " ");
  }

  @Test
  void twiceTheStandardUncertaintyIsToldToTwoDigitsRoundedUp() {
    assertThat(told(figure(Unit.DECIBEL, 0.02501, 0.02501))).isEqualTo("± 0.051 dB");
    assertThat(told(figure(Unit.DECIBEL_VOLT, 0.5, 0.5))).isEqualTo("± 1 dB");
  }

  @Test
  void sidesThatDifferAreToldApart() {
    assertThat(PlusMinus.of(figure(Unit.PERCENT, 0.02, 0.001)).orElseThrow())
        .startsWith("+0.002")
        .contains("−0.04");
  }

  @Test
  void ofACurveTheLargestIsTold() {
    Curve curve = Curve.of(Unit.HERTZ, new double[] {1, 2}, Unit.DECIBEL, new double[] {0, 0});
    double[] u = {0.1, 0.2};
    Measurement found =
        Measurement.of("r", Conditions.NONE, curve)
            .with(Uncertainty.of(u, u, new double[] {5, 5}, List.of()));
    assertThat(told(found)).isEqualTo("± 0.4 dB");
  }

  @Test
  void whereNoTableSaysTheFactorItStandsBesideTheFigure() {
    assertThat(PlusMinus.withFactor(figure(Unit.DECIBEL, 0.05, 0.05)))
        .isEqualTo("\u00b1\u00a00.1\u00a0dB at k = 2");
    assertThat(
            PlusMinus.withFactor(Measurement.of("f", Conditions.NONE, Quantity.of(1, Unit.VOLT))))
        .isEmpty();
  }

  /** A board prints what anybody may have sent. */
  @Test
  void whatIsEndlessOrOfNoPointsIsNotTold() {
    assertThat(PlusMinus.of(figure(Unit.VOLT, 0, 1.7e308))).isEmpty();
    double[] none = {};
    Measurement empty =
        Measurement.of("r", Conditions.NONE, Curve.of(Unit.HERTZ, none, Unit.DECIBEL, none))
            .with(Uncertainty.of(none, none, none, List.of()));
    assertThat(PlusMinus.of(empty)).isEmpty();
  }

  @Test
  void whatIsNotKnownIsNotTold() {
    assertThat(PlusMinus.of(Measurement.of("f", Conditions.NONE, Quantity.of(1, Unit.VOLT))))
        .isEmpty();
  }
}
