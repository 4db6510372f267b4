package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Cold checks, warm-up, dissipation and drift of quantities in closed form. */
class PowerUpProceduresTest {
  private final FormulaBench bench = new FormulaBench();

  private void reads(Unit unit, java.util.function.DoubleUnaryOperator bySeconds) {
    bench.meter.function("f", unit, () -> bySeconds.applyAsDouble(bench.elapsed().toNanos() / 1e9));
  }

  @Test
  void aResistanceIsReadWithTheMainsOffWhenItStandsStill() throws Exception {
    reads(Unit.OHM, t -> 82e3 * (1 - Math.exp(-t / 2)));
    Map<String, Figure> figures =
        bench.measure("resistance", "{meter: m, function: f, settled-within: 1 %}");
    assertThat(bench.switched).containsExactly(Route.Purpose.MAINS_OFF);
    // Four readings over 0.6 s within 1 %: 82 kohm · e^(−t/2 s)·(1 − e^(−0.3)) < 0.82 kohm, which
    // is
    // from t = 2 s · ln(25.9) = 6.5 s on; the mean is then within 4 % of the end.
    assertThat(number(figures.get("resistance"))).isCloseTo(82e3, within(82e3 * 0.04));
    assertThat(bench.elapsed().toMillis()).isBetween(6500L, 8000L);
  }

  @Test
  void anOpenConnectionIsTheRangeIfThePlanSaysSoAndNoFigureIfNot() throws Exception {
    bench.meter.readings("f", Unit.OHM, new Reading.Overload(false));
    assertThat(reason(bench.measure("resistance", "{meter: m, function: f}").get("resistance")))
        .isEqualTo("the meter shows overload (positive)");
    assertThat(
            number(
                bench
                    .measure("resistance", "{meter: m, function: f, open: 10 Mohm}")
                    .get("resistance")))
        .isEqualTo(10e6);
  }

  @Test
  void aResistanceThatDoesNotStandStillIsNoFigure() throws Exception {
    reads(Unit.OHM, t -> 1000 * (1 + t));
    assertThat(
            reason(
                bench
                    .measure("resistance", "{meter: m, function: f, at-most: 3 s}")
                    .get("resistance")))
        .isEqualTo("the resistance did not stand still in 3 s");
  }

  @Test
  void aWarmUpEndsWhenItsWindowIsFlat() throws Exception {
    reads(Unit.VOLT, t -> 9 * (1 - Math.exp(-t / 10)));
    Map<String, Figure> figures =
        bench.measure("warm-up", "{meter: m, function: f, window: 5 s, settled-within: 1 %}");
    // Over a window of 5 s the reading rises by 9 V · e^(−t/10 s)·(1 − e^(−0.5)), which is 1 % of
    // about 9 V for windows that begin at 10 s · ln(39.3) = 36.7 s.
    assertThat(number(figures.get("warm-up time"))).isCloseTo(41.7, within(1.0));
    assertThat(number(figures.get("warm-up settled"))).isCloseTo(8.8, within(0.2));
  }

  @Test
  void aWarmUpThatNeverSettlesIsNoFigure() throws Exception {
    reads(Unit.VOLT, t -> 1 + t);
    assertThat(
            bench
                .measure("warm-up", "{meter: m, function: f, window: 5 s, at-most: 30 s}")
                .values())
        .hasSize(2)
        .allSatisfy(f -> assertThat(reason(f)).isEqualTo("m f has not settled within 1 % in 30 s"));
  }

  @Test
  void aSteadyReadingThatIsThereTooSoonWaitsForTheLeastTime() throws Exception {
    reads(Unit.VOLT, t -> 9);
    Map<String, Figure> figures =
        bench.measure("warm-up", "{meter: m, function: f, window: 5 s, at-least: 20 s}");
    assertThat(number(figures.get("warm-up time"))).isCloseTo(20, within(0.5));
  }

  @Test
  void dissipationIsVoltageFromAnodeToCathodeTimesTheResistorsCurrent() throws Exception {
    bench.meter.readings("k", Unit.VOLT, new Reading.Value(Quantity.of(8.1, Unit.VOLT)));
    bench.meter.readings("a", Unit.VOLT, new Reading.Value(Quantity.of(328.1, Unit.VOLT)));
    Map<String, Figure> figures =
        bench.measure(
            "dissipation",
            "{meter: m, function: k, cathode-resistor: 270 ohm, anode-meter: m, anode-function: a,"
                + " maximum: 12 W}");
    // 8.1 V / 270 ohm = 30 mA; 320 V · 30 mA = 9.6 W; 9.6 / 12 = 80 %.
    assertThat(number(figures.get("idle current"))).isCloseTo(0.030, within(1e-12));
    assertThat(number(figures.get("dissipation"))).isCloseTo(9.6, within(1e-9));
    assertThat(number(figures.get("dissipation share"))).isCloseTo(80, within(1e-9));
  }

  @Test
  void driftIsTheLinesSlopePerMinuteAndTheChangeFromEndToEnd() throws Exception {
    reads(Unit.WATT, t -> 70 + 0.1 * t);
    Map<String, Figure> figures =
        bench.measure("drift", "{meter: m, function: f, result: p, unit: W, soak: 10 s}");
    assertThat(number(figures.get("p per minute"))).isCloseTo(6, within(1e-9));
    // 21 readings, tenths of two: the means lie 9.5 s apart.
    assertThat(number(figures.get("p change"))).isCloseTo(0.95, within(1e-9));
    assertThat(FormulaBench.curve(figures.get("p")).size()).isEqualTo(21);
  }
}
