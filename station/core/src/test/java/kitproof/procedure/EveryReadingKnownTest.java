package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Where the limits of error of the meters are told, each figure and each point of a curve that is
 * made of their readings has its standard uncertainty, its degrees of freedom and a budget.
 */
class EveryReadingKnownTest {
  private static final String METERS =
      DrawnBench.FLAT
          + DrawnBench.LOAD
          + """
          instruments:
            m:
              accuracy:
                - {function: f, limits: "±(0.1 % + 2 digits)", resolution: 10 mV}
                - {function: r, limits: "±(0.1 % + 2 digits)", resolution: 1 ohm}
                - {function: k, limits: "±(0.1 % + 2 digits)", resolution: 1 mV}
            a: {accuracy: [{function: f, limits: "±(0.2 % + 2 digits)", resolution: 10 mV}]}
          """;

  /** What a meter sees by the seconds since mains was switched, or since the bench began. */
  private static final Map<String, DoubleUnaryOperator> SEEN =
      Map.of(
          "steady", t -> 330,
          "rising", t -> 330 * (1 - Math.exp(-t / 0.5)),
          "falling", t -> 330 * Math.exp(-t / 3),
          "turned", t -> t < 3 ? 12 : 8.5);

  private static FormulaBench bench(String seen) {
    FormulaBench bench = DrawnBench.of(METERS);
    Random random = new Random(3);
    DoubleUnaryOperator at = SEEN.get(seen);
    bench.left = FormulaBench.curve(x -> DrawnBench.GAIN * x);
    DoubleUnaryOperator now =
        t -> Math.rint((at.applyAsDouble(t) + 0.05 * random.nextGaussian()) * 100) / 100;
    bench.meter.function(
        "f",
        Unit.VOLT,
        () ->
            now.applyAsDouble(
                (bench.switched.isEmpty() ? bench.elapsed().toNanos() : bench.sinceSwitched())
                    / 1e9));
    bench.meter.function("r", Unit.OHM, () -> Math.rint(82e3 + 20 * random.nextGaussian()));
    bench.meter.function("k", Unit.VOLT, () -> 8.1 + 1e-3 * random.nextGaussian());
    return bench;
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "reading | steady | {meter: m, function: f, result: R, count: 3}",
        "reading | steady | {meter: m, function: f, result: R, count: 1}",
        "reading-at-power | steady | {power: 1 W, meter: m, function: f, result: R, count: 3}",
        "resistance | steady | {meter: m, function: r}",
        "supply-rise | rising | {meter: m, function: f, watch: 6 s}",
        "warm-up | rising | {meter: m, function: f, window: 2 s}",
        "adjust | turned | {meter: m, function: f, say: turn, control: trimmer, result: R,"
            + " window: 8 V..9 V, dwell: 2 s}",
        "dissipation | steady | {meter: m, function: k, cathode-resistor: 270 ohm,"
            + " resistor-within: 1 %, anode-meter: a, anode-function: f, maximum: 12 W}",
        "drift | steady | {meter: m, function: f, result: drift, unit: V, soak: 10 s}",
        "discharge | falling | {meter: m, function: f, safe: 30 V}",
      })
  void eachHasItsUncertainty(String procedure, String seen, String settings) throws Exception {
    List<Measurement> all = bench(seen).all(procedure, settings);
    assertThat(all)
        .as("what each procedure can give")
        .noneMatch(m -> m.figure() instanceof Figure.Invalid);
    KnownResults.hold(all);
  }

  /** A meter that reads both volts is off in both by its one reference: that adds up. */
  @Test
  void oneMeterForBothVoltsOfADissipationIsOffInBoth() throws Exception {
    String by =
        "{meter: m, function: k, cathode-resistor: 270 ohm, resistor-within: 0 %%,"
            + " anode-meter: %s, anode-function: f, maximum: 12 W}";
    double[] parts = new double[2];
    String[] meters = {"m", "a"};
    for (int i = 0; i < 2; i++) {
      FormulaBench bench = bench("steady");
      if (i == 1) {
        bench.calibration = DrawnBench.of(METERS.replace("0.2 %", "0.1 %")).calibration;
      }
      Measurement power = bench.all("dissipation", by.formatted(meters[i])).get(1);
      Uncertainty known = power.uncertainty();
      assertThat(known).isNotNull();
      parts[i] =
          known.budget().stream()
              .filter(line -> line.name().startsWith("limits of error of "))
              .mapToDouble(line -> Math.pow(line.standard() * line.sensitivity(), 2))
              .sum();
    }
    // The same lines: once added up, once by the root of their squares.
    assertThat(Math.sqrt(parts[0])).isGreaterThan(1.2 * Math.sqrt(parts[1]));
  }
}
