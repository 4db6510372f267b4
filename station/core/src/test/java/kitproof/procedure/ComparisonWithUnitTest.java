package kitproof.procedure;

import static kitproof.procedure.FormulaBench.curve;
import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import kitproof.calibration.Standing;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** One unit beside another, whose record is given to the step. */
class ComparisonWithUnitTest {
  private static final Conditions LEFT = Conditions.of("tap", "8 ohm").with("channel", "left");
  private static final Conditions RIGHT = LEFT.with("channel", "right");
  private final FormulaBench bench = new FormulaBench();

  private static Measurement gain(Conditions conditions, double db) {
    return Measurement.of("gain", conditions, Quantity.of(db, Unit.DECIBEL));
  }

  private static Measurement response(double fromHz, double toHz, double db) {
    double[] hz = {fromHz, Math.sqrt(fromHz * toHz), toHz};
    return Measurement.of(
        "frequency response",
        LEFT,
        Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, new double[] {db, db, db}));
  }

  private static Measurement known(Measurement measurement, double standard) {
    return measurement.with(
        Uncertainty.of(standard, standard, Double.POSITIVE_INFINITY, List.<Contribution>of()));
  }

  private void other(boolean sameCalibration, Measurement... results) {
    bench.otherUnits.put(
        "reference",
        new ReferenceUnit(
            "LN12-001",
            "Linnet 12",
            "B",
            "20261125T101500.123Z-LN12-001",
            2,
            "sha256:00",
            sameCalibration,
            List.of(results)));
  }

  @BeforeEach
  void measuredBefore() {
    bench.conditions = Conditions.of("tap", "8 ohm");
    bench.earlier.add(gain(LEFT, 27.5));
    bench.earlier.add(gain(RIGHT, 27.2));
    bench.earlier.add(response(10, 40_000, 0.25));
  }

  @Test
  void theOthersIsTheOneUnderTheSameConditionsAndIsSubtracted() throws Exception {
    other(false, gain(LEFT, 27.1), gain(RIGHT, 26));
    Map<String, Figure> figures =
        bench.measure(
            "comparison", "{result: gain, of: {channel: left}, against: {unit: reference}}");
    assertThat(number(figures.get("gain difference"))).isCloseTo(0.4, within(1e-12));
    Measurement told = bench.measured.get(0);
    assertThat(told.conditions()).isEqualTo(LEFT.with("against unit", "reference"));
    assertThat(told.note())
        .isEqualTo("less that of LN12-001, attempt 2 (run 20261125T101500.123Z-LN12-001)");
    assertThat(AgainstUnit.chosen(told)).isEqualTo("LN12-001");
    assertThat(AgainstUnit.chosen(told.notedFirst(Standing.UNCALIBRATED))).isEqualTo("LN12-001");
    assertThat(AgainstUnit.chosen(gain(LEFT, 27.1).noted(told.note()))).isEmpty();
  }

  @Test
  void theOtherMayHoldUnderAnotherConditionBesides() throws Exception {
    other(false, gain(LEFT, 27.1), gain(RIGHT, 26));
    Map<String, Figure> figures =
        bench.measure(
            "comparison",
            "{result: gain, of: {channel: left}, against: {unit: reference, channel: right}}");
    assertThat(number(figures.get("gain difference"))).isCloseTo(1.5, within(1e-12));
  }

  @Test
  void curvesAreComparedWhereBothAreKnownAndThatIsSaid() throws Exception {
    other(false, response(20, 20_000, 0));
    Map<String, Figure> figures =
        bench.measure("comparison", "{curve: frequency response, against: {unit: reference}}");
    assertThat(curve(figures.get("frequency response difference")).ys())
        .usingComparatorWithPrecision(1e-12)
        .containsExactly(0.25);
    assertThat(bench.measured.get(0).note()).contains("where both are known");
    assertThat(number(figures.get("worst frequency response difference")))
        .isCloseTo(0.25, within(1e-12));
  }

  /** Independent ones combine as the root of the sum of squares (JCGM 100:2008, 5.1.2). */
  @Test
  void bothUncertaintiesCountAndACommonCalibrationIsSaid() throws Exception {
    bench.earlier.set(0, known(gain(LEFT, 27.5), 0.03));
    other(true, known(gain(LEFT, 27.1), 0.04));
    bench.measure("comparison", "{result: gain, of: {channel: left}, against: {unit: reference}}");
    Measurement told = bench.measured.get(0);
    Uncertainty found = told.uncertainty();
    assertThat(found).isNotNull();
    assertThat(found.below(0)).isCloseTo(0.05, within(1e-9));
    assertThat(found.above(0)).isCloseTo(0.05, within(1e-9));
    assertThat(told.note()).contains("both by one calibration");
    other(false, known(gain(LEFT, 27.1), 0.04));
    bench.measure("comparison", "{result: gain, of: {channel: left}, against: {unit: reference}}");
    assertThat(bench.measured.get(bench.measured.size() - 1).note()).doesNotContain("calibration");
  }

  @Test
  void thatTheOtherWasMeasuredUncalibratedIsSaid() throws Exception {
    other(false, gain(LEFT, 27.1).noted(Standing.UNCALIBRATED).noted("few samples"));
    bench.measure("comparison", "{result: gain, of: {channel: left}, against: {unit: reference}}");
    assertThat(bench.measured.get(0).note()).endsWith("; that one uncalibrated");
  }

  @Test
  void whatTheOtherDoesNotHaveIsSaid() throws Exception {
    assertThat(reason(gainDifference())).isEqualTo("no reference unit was named");
    other(false, response(20, 20_000, 0));
    assertThat(reason(gainDifference())).startsWith("no gain of LN12-001 under");
    other(false, Measurement.invalid("gain", LEFT, "clipped"));
    assertThat(reason(gainDifference())).contains("of LN12-001 is invalid: clipped");
    other(false, Measurement.of("gain", LEFT, Quantity.of(20, Unit.ONE)));
    assertThat(reason(gainDifference())).contains("cannot be compared");
    other(false, response(50_000, 80_000, 0));
    assertThat(
            reason(
                bench
                    .measure(
                        "comparison", "{curve: frequency response, against: {unit: reference}}")
                    .get("frequency response difference")))
        .isEqualTo("the two curves have no stretch in common");
  }

  private Figure gainDifference() throws Exception {
    return bench
        .measure("comparison", "{result: gain, of: {channel: left}, against: {unit: reference}}")
        .get("gain difference");
  }
}
