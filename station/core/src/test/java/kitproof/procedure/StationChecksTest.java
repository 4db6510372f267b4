package kitproof.procedure;

import static kitproof.procedure.CalibrationProceduresTest.OHMMETER;
import static kitproof.procedure.CalibrationProceduresTest.calibration;
import static kitproof.procedure.CalibrationProceduresTest.noisy;
import static kitproof.procedure.FormulaBench.number;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import kitproof.value.Figure;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** What the checks of a station find of a bench whose errors are known in closed form. */
class StationChecksTest {
  private final FormulaBench bench = new FormulaBench();

  private static final String LOOP =
      """
      outputs: [{channel: left, full-scale: 7.0711 V, u: 3 mV}]
      inputs: [{channel: left, full-scale: 70.711 V, u: 30 mV}]
      resistors: [{route: check, resistance: 10.03 ohm, u: 4 mohm}]
      """;

  private static final String CHECK = "{frequencies: [1 kHz], drift: 0.03 dB, stops: true}";

  @Test
  void aLoopThatIsAsCalibratedIsGoodAndOneThatHasDriftedStopsTheRun() throws Exception {
    bench.calibration = calibration(LOOP);
    bench.left = noisy(1, 1e-5);
    Map<String, Figure> good = bench.measure("check-loop", CHECK);
    assertThat(number(good.get("loop level"))).isCloseTo(0, within(1e-4));
    assertThat(number(good.get("loop level normalised error"))).isCloseTo(0, within(0.01));
    assertThat(bench.stops).isEmpty();

    bench.left = noisy(Math.pow(10, 0.3 / 20), 1e-5);
    Map<String, Figure> drifted = bench.measure("check-loop", CHECK);
    assertThat(number(drifted.get("loop level"))).isCloseTo(0.3, within(1e-4));
    // By hand: 0.03/√3 dB of drift and 8.686 dB times 3/7071.1 and 30/70711.
    double perPart = 20 / Math.log(10);
    double u =
        Math.sqrt(
            Math.pow(0.03, 2) / 3
                + Math.pow(perPart * 3e-3 / 7.0711, 2)
                + Math.pow(perPart * 30e-3 / 70.711, 2));
    assertThat(number(drifted.get("loop level normalised error")))
        .isCloseTo(0.3 / (2 * u), within(0.01));
    assertThat(bench.stops).singleElement().asString().contains("the station is out of its limits");
  }

  @Test
  void theMeterAtTheOutputTellsTheOutputFromTheInput() throws Exception {
    bench.calibration = calibration(LOOP);
    double asked = 10 * Math.pow(10, -3 / 20.0) / Math.sqrt(2);
    bench.meter.function("ac", Unit.VOLT, () -> asked * Math.pow(10, -0.2 / 20));
    String with =
        "{frequencies: [1 kHz], meter: meter, function: ac, limits: ±0.05 %, resolution: 0.1 mV}";
    Map<String, Figure> found = bench.measure("check-loop", with);
    assertThat(number(found.get("line level"))).isCloseTo(-0.2, within(1e-6));
    assertThat(number(found.get("line level normalised error"))).isLessThan(-1);
    assertThat(number(found.get("loop level normalised error"))).isCloseTo(0, within(0.01));
  }

  @Test
  void withoutACalibrationThereIsNothingToCompareWith() throws Exception {
    Map<String, Figure> found = bench.measure("check-loop", CHECK);
    assertThat(FormulaBench.reason(found.get("loop level normalised error")))
        .contains("nothing to compare with");
    bench.meter.function("resistance", Unit.OHM, () -> 10.03);
    Map<String, Figure> check =
        bench.measure("check-resistance", "{" + OHMMETER + ", route: check}");
    assertThat(FormulaBench.reason(check.get("check resistance normalised error")))
        .contains("does not know \"check\"");
  }

  @Test
  void aCheckStandardThatReadsAnotherValueIsOutOfLimits() throws Exception {
    bench.calibration = calibration(LOOP);
    String settings = "{" + OHMMETER + ", route: check, stops: true}";
    bench.meter.function("resistance", Unit.OHM, () -> 10.035);
    assertThat(
            number(
                bench
                    .measure("check-resistance", settings)
                    .get("check resistance normalised error")))
        .isBetween(0.1, 1.0);
    assertThat(bench.stops).isEmpty();
    bench.meter.function("resistance", Unit.OHM, () -> 10.10);
    assertThat(
            number(
                bench
                    .measure("check-resistance", settings)
                    .get("check resistance normalised error")))
        .isGreaterThan(1);
    assertThat(bench.stops).hasSize(1);
  }
}
