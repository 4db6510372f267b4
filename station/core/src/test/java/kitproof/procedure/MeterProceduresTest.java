package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.stream.Stream;
import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Supply rise, discharge and plain readings of rails in closed form. */
class MeterProceduresTest {
  private static final String RISE = "{meter: m, function: hv, watch: 10 s}";
  private static final String DISCHARGE =
      "{meter: m, function: hv, safe: 30 V, give-up-after: 200 s}";

  private final FormulaBench bench = new FormulaBench();

  private static Reading volts(double volts) {
    return new Reading.Value(Quantity.of(volts, Unit.VOLT));
  }

  @Test
  void aRiseYieldsItsCurvePeakSettledValueAndTime() throws Exception {
    bench.rail(1.5, t -> 330 * (1 - Math.exp(-t / 0.5)));
    Map<String, Figure> figures = bench.measure("supply-rise", RISE);
    assertThat(bench.switched).containsExactly(Route.Purpose.MAINS_LIMITED);
    Curve curve = FormulaBench.curve(figures.get("supply rise"));
    assertThat(curve.xUnit()).isEqualTo(Unit.SECOND);
    assertThat(curve.size()).isEqualTo(41);
    assertThat(curve.y(0)).isEqualTo(1.5); // the reading before the mains came
    assertThat(curve.x(1)).isEqualTo(0.25);
    assertThat(curve.y(1)).isCloseTo(330 * (1 - Math.exp(-0.5)), within(1e-9));
    assertThat(curve.x(40)).isEqualTo(10);
    assertThat(number(figures.get("supply rise peak"))).isCloseTo(330, within(1e-3));
    assertThat(number(figures.get("supply rise settled"))).isCloseTo(330, within(1e-3));
    // 330 V · e^(−t/0.5 s) falls below 3 % after 0.5 s · ln(1/0.03) = 1.753 s; the next reading is
    // at 2 s.
    assertThat(number(figures.get("supply rise time to settle"))).isEqualTo(2.0);
  }

  @Test
  void theCapacitorsSurgeBeforeTheValvesConductIsThePeak() throws Exception {
    bench.rail(0, t -> t < 3 ? 400 : 330);
    Map<String, Figure> figures = bench.measure("supply-rise", RISE);
    assertThat(number(figures.get("supply rise peak"))).isEqualTo(400);
    assertThat(number(figures.get("supply rise settled"))).isEqualTo(330);
    assertThat(number(figures.get("supply rise time to settle"))).isEqualTo(3);
  }

  @Test
  void aRailThatStillMovesHasNoTimeToSettle() throws Exception {
    bench.rail(0, t -> 33 * t);
    Map<String, Figure> figures = bench.measure("supply-rise", RISE);
    assertThat(reason(figures.get("supply rise time to settle")))
        .isEqualTo("supply rise has not settled");
    assertThat(number(figures.get("supply rise peak"))).isCloseTo(330, within(1e-9));
  }

  @Test
  void aRiseWithOneReadingMissingYieldsNoFigure() throws Exception {
    bench.readings(volts(0), volts(200), new Reading.Overload(false), volts(330));
    assertThat(bench.measure("supply-rise", RISE).values())
        .hasSize(4)
        .allSatisfy(f -> assertThat(reason(f)).isEqualTo("the meter shows overload (positive)"));
  }

  private double afterMillis(long millis, double volts) {
    try {
      bench.pause(Duration.ofMillis(millis));
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
    return volts;
  }

  static Stream<Arguments> discharges() throws Exception {
    Map<String, double[]> rows = new LinkedHashMap<>();
    for (String[] line : ReferenceTable.rows("discharge.csv")) {
      double[] values = rows.computeIfAbsent(line[0], k -> new double[2]);
      values[line[1].equals("tau_s") ? 0 : 1] = Double.parseDouble(line[2]);
    }
    return rows.entrySet().stream()
        .map(e -> Arguments.of(e.getKey(), e.getValue()[0], e.getValue()[1]));
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("discharges")
  void aDischargeThroughAResistorIsItsClosedForm(String network, double tau, double to60)
      throws Exception {
    double from = Double.parseDouble(network.split("[= ]")[1]);
    bench.rail(from, t -> from * Math.exp(-t / tau));
    Map<String, Figure> figures = bench.measure("discharge", DISCHARGE);
    assertThat(bench.switched).containsExactly(Route.Purpose.MAINS_OFF);
    assertThat(number(figures.get("discharge time constant"))).isCloseTo(tau, within(tau * 1e-6));
    assertThat(number(figures.get("discharge time to 60 V"))).isCloseTo(to60, within(to60 * 1e-6));
    assertThat(number(figures.get("discharge time to safe")))
        .isCloseTo(tau * Math.log(from / 30), within(tau * 1e-5));
    Curve curve = FormulaBench.curve(figures.get("discharge"));
    assertThat(curve.y(0)).isEqualTo(from);
    // Five readings in a row below the safe figure, and not one more.
    assertThat(curve.y(curve.size() - 5)).isLessThan(30);
    assertThat(curve.y(curve.size() - 6)).isGreaterThanOrEqualTo(30);
    assertThat(bench.notices).isEmpty();
    assertThat(bench.discharged).hasSize(1);
  }

  @Test
  void theTimeConstantIsThatOfTheBleederAloneBelowTheFitsLimit() throws Exception {
    // The valves draw current until their heaters are cold: three times as fast above 120 V.
    double down = 2 * Math.log(330 / 120.0);
    bench.rail(330, t -> t < down ? 330 * Math.exp(-t / 2) : 120 * Math.exp(-(t - down) / 6));
    Map<String, Figure> figures =
        bench.measure(
            "discharge", "{meter: m, function: hv, safe: 30 V, fit-below: 120 V, every: 100 ms}");
    assertThat(number(figures.get("discharge time constant"))).isCloseTo(6, within(1e-6));
    assertThat(number(figures.get("discharge time to 60 V")))
        .isCloseTo(down + 6 * Math.log(2), within(1e-3));
  }

  @Test
  void aRailThatStaysUpIsCalledLive() throws Exception {
    bench.rail(330, t -> 200 + 130 * Math.exp(-t / 5));
    Map<String, Figure> figures = bench.measure("discharge", DISCHARGE);
    assertThat(reason(figures.get("discharge time to 60 V")))
        .isEqualTo("the rail was not seen to fall below 60 V");
    assertThat(reason(figures.get("discharge time to safe")))
        .isEqualTo("the rail was not seen to fall below 30 V");
    assertThat(bench.notices)
        .containsExactly(
            "HV rail has not fallen below 30 V within 200 s: treat the unit as live and do not"
                + " open it");
    assertThat(bench.discharged).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "0.1 0.1 0.1 0.1 0.1 0.1 0.1", // the lead was never on it
        "330 0.1 0.1 0.1 0.1 0.1 0.1", // it fell off when the mains went
        "330 300 280 0.1 0.1 0.1 0.1 0.1", // it fell off in the discharge
        "330 300 280 29 25 20 15 12 10", // it fell off, and picks something up
        "330 200 100 45 20 18 16 14 12 10", // faster than can be told from a lead that falls off
        "330 300 0.1 200 100 40 20 10 5 2 1", // a loose clip
        "29 20 14 10 7 5 3" // mains had been off for long
      })
  void aRailThatWasNotSeenToFallIsNotCalledSafe(String readings) throws Exception {
    String[] each = readings.split(" ");
    Reading[] rest = new Reading[each.length - 1];
    for (int i = 0; i < rest.length; i++) {
      rest[i] = volts(Double.parseDouble(each[i + 1]));
    }
    bench.readings(volts(Double.parseDouble(each[0])), rest);
    bench.measure("discharge", DISCHARGE);
    assertThat(bench.discharged).isEmpty();
    assertThat(bench.notShown)
        .containsExactly(
            "m reads less than 30 V, but was not seen to fall there from a live rail, and a lead"
                + " that is off reads the same; measure the rail by hand");
  }

  @Test
  void hotValvesMayPullTheRailDownFasterThanItEnds() throws Exception {
    Reading[] rest =
        Stream.of(100, 60, 45, 35, 26, 22, 18, 15, 12).map(v -> volts(v)).toArray(Reading[]::new);
    bench.readings(volts(330), rest);
    bench.measure("discharge", DISCHARGE);
    assertThat(bench.discharged).hasSize(1);
    assertThat(bench.notShown).isEmpty();
  }

  @Test
  void aReadingThatComesLateMayBeFurtherDown() throws Exception {
    // 300 ms a reading instead of 200 ms: to less than half each time
    bench.rail(330, t -> afterMillis(300, 330 * Math.exp(-(t + 0.3) / 0.3)));
    bench.measure("discharge", DISCHARGE);
    assertThat(bench.discharged).hasSize(1);
  }

  @Test
  void oneReadingBelowTheSafeFigureDoesNotMakeALiveRailSafe() throws Exception {
    // Every fourth reading is that of a loose clip.
    bench.readings(volts(330), volts(330), volts(0.1), volts(330), volts(0.1), volts(330));
    bench.measure("discharge", "{meter: m, function: hv, safe: 30 V, give-up-after: 1 s}");
    assertThat(bench.discharged).isEmpty();
    assertThat(bench.notices).hasSize(1).first().asString().contains("treat the unit as live");
  }

  @Test
  void aSampleOutsideItsMaskBreaksTheRiseOffWithTheCurveSoFar() throws Exception {
    bench.rail(0, t -> 20);
    bench.judge = (seconds, value) -> seconds < 2 || value > 100;
    Map<String, Figure> figures = bench.measure("supply-rise", RISE);
    assertThat(bench.brokenOff).containsExactly("supply rise");
    Curve curve = FormulaBench.curve(figures.get("supply rise"));
    assertThat(curve.x(curve.size() - 1)).isEqualTo(2);
    assertThat(number(figures.get("supply rise peak"))).isEqualTo(20);
    assertThat(reason(figures.get("supply rise settled"))).isEqualTo("the rise was broken off");
    assertThat(bench.elapsed().toMillis()).isEqualTo(2000);
  }

  @Test
  void readingsOfARiseThatComeTooSlowlyEndTheRun() {
    bench.rail(0, t -> afterMillis(1500, 330));
    assertThatThrownBy(
            () ->
                bench.measure("supply-rise", "{meter: m, function: hv, watch: 10 s, within: 1 s}"))
        .isInstanceOf(InstrumentException.class)
        .hasMessageContaining("1750 ms apart");
  }

  @Test
  void aMaskBrokenInASlowRoundIsTheUnitsFaultAndNotTheStations() throws Exception {
    bench.rail(0, t -> afterMillis(1500, 20));
    bench.judge = (seconds, value) -> false;
    Map<String, Figure> figures =
        bench.measure("supply-rise", "{meter: m, function: hv, watch: 10 s, within: 1 s}");
    assertThat(bench.brokenOff).containsExactly("supply rise");
    assertThat(reason(figures.get("supply rise settled"))).isEqualTo("the rise was broken off");
  }

  @Test
  void exchangedLeadsDoNotMakeALiveRailSafe() throws Exception {
    bench.rail(-330, t -> -330 * Math.exp(-t / 10));
    Map<String, Figure> figures = bench.measure("discharge", DISCHARGE);
    assertThat(number(figures.get("discharge time to 60 V")))
        .isCloseTo(10 * Math.log(330 / 60.0), within(1e-3));
    assertThat(number(figures.get("discharge time constant"))).isCloseTo(10, within(1e-4));
  }

  @Test
  void readingsWithoutAValueDoNotMakeALiveRailSafe() throws Exception {
    bench.readings(volts(330), new Reading.NotANumber());
    Map<String, Figure> figures = bench.measure("discharge", DISCHARGE);
    assertThat(reason(figures.get("discharge"))).endsWith("readings gave no value");
    assertThat(figures.values()).allSatisfy(f -> assertThat(reason(f)).isNotEmpty());
    assertThat(bench.notices).hasSize(1).first().asString().contains("treat the unit as live");
  }

  @Test
  void aReadingIsTheMeanOfNWithTheirSpread() throws Exception {
    bench.readings(volts(1), volts(2), volts(4));
    Map<String, Figure> figures =
        bench.measure("reading", "{meter: m, function: hv, result: bias, count: 3}");
    assertThat(number(figures.get("bias"))).isCloseTo(7.0 / 3, within(1e-12));
    // Sample standard deviation: ((4/3)² + (1/3)² + (5/3)²) / 2 = 7/3.
    assertThat(number(figures.get("bias spread"))).isCloseTo(Math.sqrt(7.0 / 3), within(1e-12));
    assertThat(bench.elapsed().toMillis()).isEqualTo(400);
  }

  @Test
  void oneReadingHasNoSpread() throws Exception {
    bench.readings(volts(6.3));
    assertThat(bench.measure("reading", "{meter: m, function: hv, result: heater}"))
        .containsOnlyKeys("heater")
        .allSatisfy((name, figure) -> assertThat(number(figure)).isEqualTo(6.3));
  }

  @Test
  void overloadAndNotANumberYieldNoFigure() throws Exception {
    bench.readings(volts(1), new Reading.Overload(true), volts(1));
    assertThat(
            bench.measure("reading", "{meter: m, function: hv, result: bias, count: 3}").values())
        .hasSize(2)
        .allSatisfy(f -> assertThat(reason(f)).isEqualTo("the meter shows overload (negative)"));
  }

  @Test
  void aMeterWithoutANumberYieldsNoFigure() throws Exception {
    bench.readings(new Reading.NotANumber());
    assertThat(
            reason(bench.measure("reading", "{meter: m, function: hv, result: bias}").get("bias")))
        .isEqualTo("the meter has no number to give");
  }
}
