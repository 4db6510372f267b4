package kitproof.procedure;

import static kitproof.procedure.FormulaBench.curve;
import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

class ComparisonProcedureTest {
  private static final Conditions LEFT = Conditions.of("tap", "8 ohm").with("channel", "left");
  private static final Conditions RIGHT = LEFT.with("channel", "right");
  private final FormulaBench bench = new FormulaBench();

  private static Curve response(double... db) {
    double[] hz = new double[db.length];
    for (int i = 0; i < hz.length; i++) {
      hz[i] = 100 * Math.pow(10, i);
    }
    return Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, db);
  }

  @BeforeEach
  void measuredBefore() {
    bench.conditions = Conditions.of("tap", "8 ohm");
    bench.earlier.add(Measurement.of("gain", LEFT, Quantity.of(27.5, Unit.DECIBEL)));
    bench.earlier.add(Measurement.of("gain", RIGHT, Quantity.of(27.2, Unit.DECIBEL)));
    bench.earlier.add(
        Measurement.of("gain", RIGHT.with("tap", "4 ohm"), Quantity.of(24.2, Unit.DECIBEL)));
    bench.earlier.add(Measurement.of("frequency response", LEFT, response(0, -0.1, -1)));
    bench.earlier.add(Measurement.of("frequency response", RIGHT, response(0.1, 0, -0.2)));
    bench.earlier.add(Measurement.invalid("thd", LEFT, "clipped"));
    bench.earlier.add(Measurement.of("thd", RIGHT, Quantity.of(0.1, Unit.PERCENT)));
  }

  @Test
  void theDifferenceOfTwoFiguresIsTheFirstLessTheOther() throws Exception {
    Map<String, Figure> figures =
        bench.measure(
            "comparison", "{result: gain, of: {channel: left}, against: {channel: right}}");
    assertThat(number(figures.get("gain difference"))).isCloseTo(0.3, within(1e-12));
  }

  @Test
  void theStepsOwnConditionsAreTheFirstOnesAndGiveWayForTheOther() throws Exception {
    bench.conditions = RIGHT;
    Map<String, Figure> figures =
        bench.measure("comparison", "{result: gain, against: {tap: 4 ohm}}");
    assertThat(number(figures.get("gain difference"))).isCloseTo(3, within(1e-12));
  }

  @Test
  void twoCurvesGiveTheCurveOfDifferencesAndTheWorstWithItsSign() throws Exception {
    Map<String, Figure> figures =
        bench.measure(
            "comparison",
            "{curve: frequency response, of: {channel: left}, against: {channel: right}}");
    assertThat(curve(figures.get("frequency response difference")).ys())
        .usingComparatorWithPrecision(1e-12)
        .containsExactly(-0.1, -0.1, -0.8);
    assertThat(number(figures.get("worst frequency response difference")))
        .isCloseTo(-0.8, within(1e-12));
  }

  @Test
  void whatIsInvalidMissingOrNotAloneCannotBeCompared() throws Exception {
    assertThat(
            reason(
                bench
                    .measure(
                        "comparison",
                        "{result: thd, of: {channel: left}, against: {channel: right}}")
                    .get("thd difference")))
        .contains("is invalid: clipped");
    assertThat(
            reason(
                bench
                    .measure("comparison", "{result: gain, against: {channel: middle}}")
                    .get("gain difference")))
        .startsWith("2 results gain under");
  }

  @Test
  void theOtherCurveIsReadOnTheLogarithmicAxisWhereBothAreKnown() {
    Curve fine =
        Curve.of(
            Unit.HERTZ,
            new double[] {10, 100, Math.sqrt(1e5), 1000},
            Unit.DECIBEL,
            new double[] {1, 1, 1, 1});
    Difference difference =
        Difference.of(new Figure.OfCurve(fine), new Figure.OfCurve(response(0, 2)));
    assertThat(difference.asCurve().ys())
        .usingComparatorWithPrecision(1e-9)
        .containsExactly(1, 0, -1);
    assertThat(difference.worstAt()).isEqualTo(100);
    Curve time = Curve.of(Unit.SECOND, new double[] {0, 2}, Unit.VOLT, new double[] {0, 2});
    Curve later = Curve.of(Unit.SECOND, new double[] {1, 3}, Unit.VOLT, new double[] {1, 1});
    assertThat(Difference.of(new Figure.OfCurve(later), new Figure.OfCurve(time)).asCurve().ys())
        .containsExactly(0);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Difference.of(new Figure.OfCurve(time), new Figure.OfCurve(fine)))
        .withMessageContaining("cannot be compared");
  }
}
