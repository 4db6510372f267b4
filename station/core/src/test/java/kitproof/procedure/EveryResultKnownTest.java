package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.function.UnaryOperator;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Uncertainty;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * On a bench that is calibrated in everything each figure and each point of a curve that a
 * procedure hears has its standard uncertainty, its degrees of freedom and a budget; only polarity,
 * a yes or no, has none. What meters read is {@link EveryReadingKnownTest}'s.
 */
class EveryResultKnownTest {
  private static final String POINTS =
      "points: [{at: 1 Hz, level: 0 dB, u: 0.01 dB, dof: 12, phase: 0 deg, phase-u: 0.1 deg,"
          + " phase-dof: 12}, {at: 48 kHz, level: 0 dB, u: 0.01 dB, dof: 12, phase: 0 deg,"
          + " phase-u: 0.1 deg, phase-dof: 12}]";

  private static final String CALIBRATION =
      """
      paths: [{channel: left, %1$s}, {channel: right, %1$s}]
      delays: [{channel: left, delay: 0 s, u: 10 ns}, {channel: right, delay: 0 s, u: 10 ns}]
      residuals:
        - {channel: left, at: 1 kHz, level: 0 dB, thd: -110 dB, noise: -115 dB, u: 0.3 dB}
        - {channel: right, at: 1 kHz, level: 0 dB, thd: -110 dB, noise: -115 dB, u: 0.3 dB}
      leakages:
        - {from: left, to: right, at: 1 kHz, level: -110 dB, u: 1 dB}
        - {from: right, to: left, at: 1 kHz, level: -110 dB, u: 1 dB}
      """
              .formatted(POINTS)
          + DrawnBench.LOAD.replace("]\n", ", {route: series, resistance: 47 kohm, u: 50 ohm}]\n");

  /** What the unit that is fast and rings does not show. */
  private static final Set<String> NOT_FOUND =
      Set.of("lower corner", "upper corner", "rise time", "stray line frequency");

  /** Bends a little, rings a little at its edges, and hisses. */
  private static UnaryOperator<double[]> unit(int seed) {
    return played -> {
      Random random = new Random(seed);
      double[] out = new double[played.length];
      double at = 0;
      double speed = 0;
      for (int i = 0; i < out.length; i++) {
        speed += 0.7 * (10 * played[i] - at) - 0.35 * speed;
        at += speed;
        out[i] = at + 1e-3 * at * at - 5e-4 * at * at * at + 1e-3 * random.nextGaussian();
      }
      return out;
    };
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "gain | left | power: 1 W",
        "frequency-response | left | {power: 1 W, band: 50 Hz..20 kHz, sweep: 500 ms}",
        "frequency-response | left | {power: 1 W, band: 50 Hz..20 kHz, method: stepped}",
        "distortion | left | {power: 1 W, listen: 100 ms, harmonics: 5}",
        "distortion-against-power | left | {powers: 100 mW..20 W, per-decade: 4}",
        "distortion-against-frequency | left | {power: 1 W, frequencies: 1 kHz..2 kHz}",
        "output-impedance | left | {power: 1 W, second-load: other, sweep: 500 ms}",
        "input-impedance | left | {power: 1 W, through-resistor: series, resistor: 47 kohm,"
            + " source: 100 ohm, source-within: 5 ohm, sweep: 500 ms}",
        "crosstalk | both | {power: 1 W, band: 50 Hz..20 kHz, sweep: 500 ms}",
        "channel-balance | both | {power: 1 W, band: 50 Hz..20 kHz, sweep: 500 ms}",
        "spectrum | left | {power: 1 W, listen: 100 ms}",
        "difference-frequency-distortion | left | {power: 1 W, listen: 100 ms}",
        "modulation-distortion | left | {power: 1 W, listen: 100 ms}",
        "hum | left | {listen: 500 ms}",
        "noise | left | {rated: 10 W, listen: 1 s}",
        "square-wave | left | {power: 1 W, listen: 50 ms}",
        "stability | left | {power: 1 W}",
      })
  void eachHasItsUncertainty(String procedure, String channel, String settings) throws Exception {
    FormulaBench bench = DrawnBench.of(CALIBRATION);
    bench.sampleRate = 96_000;
    bench.conditions = Conditions.of("channel", channel);
    bench.left = unit(1);
    bench.right = unit(2);
    bench.otherLeft = played -> FormulaBench.curve(x -> 0.9 * x).apply(unit(3).apply(played));
    List<Measurement> all = bench.all(procedure, settings);
    assertThat(all)
        .filteredOn(each -> each.figure() instanceof Figure.Invalid)
        .extracting(Measurement::name)
        .as("not found on this unit, but on the slow one")
        .isSubsetOf(NOT_FOUND);
    KnownResults.hold(all);
    all.forEach(EveryResultKnownTest::holdsForAMeterThatIsOffInAllFullScales);
  }

  /** Coupled at 100 Hz, falls from 5 kHz on, hisses and oscillates at no harmonic. */
  private static UnaryOperator<double[]> slow() {
    return played -> {
      Random random = new Random(4);
      double[] out = new double[played.length];
      double low = 0;
      double at = 0;
      for (int i = 0; i < out.length; i++) {
        low += 2 * Math.PI * 100 / 96_000 * (10 * played[i] - low);
        at += (1 - Math.exp(-2 * Math.PI * 5_000 / 96_000)) * (10 * played[i] - low - at);
        out[i] =
            at + 0.02 * Math.sin(2 * Math.PI * 31.43e3 / 96e3 * i) + 1e-3 * random.nextGaussian();
      }
      return out;
    };
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "frequency-response | {power: 1 W, band: 20 Hz..20 kHz, sweep: 500 ms} | lower corner",
        "frequency-response | {power: 1 W, band: 20 Hz..20 kHz, sweep: 500 ms} | upper corner",
        "frequency-response | {power: 1 W, band: 20 Hz..20 kHz, method: stepped} | upper corner",
        "square-wave | {power: 1 W, listen: 50 ms} | rise time",
        "stability | {power: 1 W} | stray line frequency",
      })
  void whatOnlyASlowOrAnUnstableUnitShowsHasItToo(String procedure, String settings, String name)
      throws Exception {
    FormulaBench bench = DrawnBench.of(CALIBRATION);
    bench.sampleRate = 96_000;
    bench.left = slow();
    List<Measurement> all = bench.all(procedure, settings);
    assertThat(all)
        .filteredOn(each -> each.name().equals(name))
        .isNotEmpty()
        .noneMatch(each -> each.figure() instanceof Figure.Invalid);
    KnownResults.hold(all);
  }

  /**
   * All full scales are found by one meter, whose limits of error they share, and count as if found
   * apart: that must be rather too much than too little. They are when what the meter is off by
   * adds up to no more than the root of the squares, as it does where an output stands against an
   * input.
   */
  private static void holdsForAMeterThatIsOffInAllFullScales(Measurement each) {
    Uncertainty known = each.uncertainty();
    if (known == null) {
      return;
    }
    double together = 0;
    double squares = 0;
    for (Contribution line : known.budget()) {
      if (line.name().startsWith("full scale of ")) {
        double part = line.sensitivity() * line.standard();
        together += part;
        squares += part * part;
      }
    }
    assertThat(Math.abs(together))
        .as(each.title() + ": " + known.budget())
        .isLessThanOrEqualTo(Math.sqrt(squares) * (1 + 1e-9));
  }

  @Test
  void aDifferenceOfResultsIsKnownAtEachPoint() throws Exception {
    FormulaBench bench = DrawnBench.of(CALIBRATION);
    bench.sampleRate = 96_000;
    bench.left = unit(1);
    bench.right = unit(2);
    String sweep = "{power: 1 W, band: 50 Hz..20 kHz, sweep: 500 ms}";
    bench.earlier.addAll(bench.all("frequency-response", sweep));
    bench.conditions = Conditions.of("channel", "right");
    bench.earlier.addAll(bench.all("frequency-response", sweep));
    bench.conditions = Conditions.of("channel", "left");
    List<Measurement> all =
        bench.all("comparison", "{curve: frequency response, against: {channel: right}}");
    assertThat(all).hasSize(2);
    KnownResults.hold(all);
  }
}
