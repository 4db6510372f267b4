package kitproof.driver.simulated.unit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import org.junit.jupiter.api.Test;

class SupplyTest {
  /** A supply with hardly any losses, for comparison with ideal ones. */
  private static SupplyParts ideal(double peak, double capacitance, double bleeder) {
    return new SupplyParts(
        230,
        50,
        200,
        0.01,
        1e9,
        1e9,
        peak / (230 * Math.sqrt(2)),
        0.05,
        0.05,
        capacitance / 2,
        0.5,
        capacitance / 2,
        bleeder,
        Double.POSITIVE_INFINITY,
        1e12,
        1e-6,
        0);
  }

  private static double step(Supply supply, double from, double seconds, double dt, double amps) {
    long steps = Math.round(seconds / dt);
    for (long i = 0; i < steps; i++) {
      supply.step(dt, from + i * dt, amps, 0, 1);
    }
    return from + steps * dt;
  }

  @Test
  void dischargesAsTheTablesOfAResistorAndACapacitorSay() throws Exception {
    Map<String, Map<String, Double>> cases = Reference.read("discharge.csv");
    assertThat(cases).hasSizeGreaterThan(3);
    cases.forEach(
        (given, expected) -> {
          double v0 = Reference.given(given, "V0");
          Supply supply =
              new Supply(ideal(v0, Reference.given(given, "C"), Reference.given(given, "R")));
          supply.connect(true, true, false);
          double time = step(supply, 0, 1, 5e-6, 0);
          supply.connect(false, true, false);
          double start = supply.rail();
          double passed = 0;
          for (int seconds : new int[] {1, 2, 5, 10, 30, 60}) {
            time = step(supply, time, seconds - passed, 5e-5, 0);
            passed = seconds;
            double wanted = expected.get("V_at_" + seconds + "s") / v0;
            // Explicit steps of 50 µs against time constants of seconds: parts in 10⁵.
            assertThat(supply.rail() / start)
                .as(given + " at " + seconds + " s")
                .isCloseTo(wanted, within(wanted * 2e-3 + 1e-6));
          }
        });
  }

  @Test
  void ripplesAsTheTablesOfACapacitorInputSupplySay() throws Exception {
    Map<String, Map<String, Double>> cases = Reference.read("rectifier_ripple.csv");
    assertThat(cases).hasSizeGreaterThan(2);
    cases.forEach(
        (given, expected) -> {
          Supply supply =
              new Supply(ideal(Reference.given(given, "Vp"), Reference.given(given, "C"), 1e9));
          double amps = Reference.given(given, "I");
          supply.connect(true, true, false);
          double time = step(supply, 0, 0.5, 2e-6, amps);
          double low = Double.MAX_VALUE;
          double high = 0;
          double sum = 0;
          int steps = 10_000;
          for (int i = 0; i < steps; i++) {
            time = step(supply, time, 2e-6, 2e-6, amps);
            low = Math.min(low, supply.rail());
            high = Math.max(high, supply.rail());
            sum += supply.rail();
          }
          // Half an ohm here and there rounds the tips that ideal diodes leave.
          double ripple = expected.get("ripple_pp_exact");
          assertThat(high - low).as(given).isCloseTo(ripple, within(ripple * 0.06));
          assertThat(sum / steps)
              .as(given)
              .isCloseTo(expected.get("mean_V"), within(expected.get("mean_V") * 0.005));
        });
  }

  @Test
  void lampsTakeTheMainsWhenTheRailIsShorted() {
    SupplyParts shorted = Kit.build(1, "LN12-001", Fault.SMOOTHING_CAPACITOR_SHORTED).supply();
    Supply supply = new Supply(shorted);
    supply.connect(true, false, false);
    double square = 0;
    double time = 0;
    for (int i = 0; i < 60_000; i++) {
      supply.step(50e-6, time, 0, 0, 0);
      time += 50e-6;
      square += supply.primaryCurrent() * supply.primaryCurrent();
      if (i % 20 == 19) {
        supply.warm(1e-3, square / 20);
        square = 0;
      }
    }
    assertThat(supply.rail()).isLessThan(2);
    // A filament above 2000 K glows bright (common practice, no source).
    assertThat(supply.lampTemperature()).isGreaterThan(2000);
  }

  @Test
  void aLampAtItsRatedCurrentSettlesAtItsRatedResistance() {
    Lamp lamp = new Lamp(200);
    double cold = lamp.resistance();
    double square = Math.pow(200.0 / 230, 2);
    for (int i = 0; i < 5000; i++) {
      lamp.pass(1e-3, square);
    }
    assertThat(lamp.resistance()).isCloseTo(230 * 230 / 200.0, within(0.5));
    // A cold filament has a tenth to a fifteenth of its hot resistance (common practice, no
    // source).
    assertThat(lamp.resistance() / cold).isBetween(10.0, 15.0);
    for (int i = 0; i < 60_000; i++) {
      lamp.pass(1e-3, 0);
    }
    assertThat(lamp.resistance()).isLessThan(cold * 1.6);
  }
}
