package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SineFitTest {
  /** Source of the values: sinefit_ieee1057.csv, IEEE 1057-2017 clause 5 solved with NumPy. */
  @ParameterizedTest
  @CsvSource({
    "S1 clean, 48000, 997.0, 1e-9",
    "S2 noisy, 48000, 997.0, 1e-9",
    "S3 third harmonic, 2000, 50.0, 1e-8",
    "S4 12-bit, 48000, 1000.0, 1e-6",
    "S5 few periods, 1000, 50.0, 1e-9",
  })
  void the_fits_are_those_of_ieee_1057(String name, double rate, double guess, double tolerance) {
    double[] x = samples(name);
    SineFit three = SineFit.threeParameter(x, rate, guess);
    SineFit four = SineFit.fourParameter(x, rate, name.startsWith("S4") ? 1001.0 : guess);
    int checked = 0;
    for (Map<String, String> row : Reference.rows("sinefit_ieee1057.csv")) {
      String quantity = row.get("quantity");
      if (!row.get("case").equals(name) || quantity.startsWith("ENOB")) {
        continue;
      }
      SineFit fit = quantity.startsWith("3-parameter") ? three : four;
      double actual =
          switch (quantity.replaceFirst("^3-parameter at [0-9.]+ Hz |^4-parameter ", "")) {
            case "A_cos" -> fit.cosine();
            case "B_sin" -> fit.sine();
            case "C_offset" -> fit.offset();
            case "f_Hz" -> fit.frequencyHz();
            case "amplitude" -> fit.peakVolts();
            case "phase_rad (sine form)" -> fit.phaseRadians();
            case "residual_rms" -> fit.residualVolts();
            case "SINAD_dB" -> fit.sinadDb();
            default -> throw new IllegalStateException(quantity);
          };
      double expected = Double.parseDouble(row.get("value"));
      assertThat(actual)
          .as(quantity)
          .isCloseTo(expected, within(tolerance * Math.max(Math.abs(expected), 0.1)));
      checked++;
    }
    assertThat(checked).isGreaterThanOrEqualTo(10);
  }

  private static double[] samples(String name) {
    double[] clean = Signals.plus(Signals.sine(1.234, 997.3, 0.7, 48000, 4800), 0.0123);
    return switch (name) {
      case "S1 clean" -> clean;
      case "S2 noisy" -> Signals.sum(clean, Signals.noise(42, 0.01, 4800));
      case "S3 third harmonic" ->
          Signals.sum(
              Signals.sine(1, 50.2, 0, 2000, 1000), Signals.sine(0.01, 150.6, 0.5, 2000, 1000));
      case "S4 12-bit" ->
          Signals.map(
              Signals.sine(2047 * 0.999, 1001.7, 0.1, 48000, 4096), v -> Math.rint(v) / 2047);
      case "S5 few periods" ->
          Signals.plus(
              Signals.sum(
                  Signals.sine(2, 49.7, Math.PI / 2, 1000, 50),
                  Signals.sine(-1, 49.7, 0, 1000, 50)),
              0.5);
      default -> throw new IllegalStateException(name);
    };
  }

  @Test
  void the_noise_generator_of_the_tests_is_the_published_one() {
    for (String seed : new String[] {"1", "42", "12345"}) {
      double[] noise = Signals.noise(Long.parseLong(seed), 1, 48000);
      for (int n = 1; n <= 5; n++) {
        String index = Integer.toString(n);
        assertThat(noise[n - 1]).isEqualTo(lcg(seed, index));
      }
      assertThat(Levels.dc(noise)).isCloseTo(lcg(seed, "1..48000 mean"), within(1e-12));
      assertThat(Levels.rms(noise)).isCloseTo(lcg(seed, "1..48000 rms"), within(1e-10));
    }
  }

  private static double lcg(String seed, String index) {
    return Reference.rows("lcg_noise.csv").stream()
        .filter(row -> row.get("seed").equals(seed) && row.get("index").equals(index))
        .mapToDouble(row -> Double.parseDouble(row.values().stream().skip(3).findFirst().get()))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void a_long_record_is_fitted_as_exactly_as_a_short_one() {
    double[] x = Signals.sine(1, 6543.2109876, 0.3, 48000, 1 << 20);
    SineFit fit = SineFit.fourParameter(x, 48000);
    assertThat(fit.frequencyHz()).isCloseTo(6543.2109876, within(1e-9));
    assertThat(fit.phaseRadians()).isCloseTo(0.3, within(1e-8));
    assertThat(fit.residualVolts()).isLessThan(1e-8);
  }

  @Test
  void what_cannot_be_fitted_is_refused_with_the_reason() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SineFit.threeParameter(new double[1], 48000, 1000))
        .withMessageContaining("1 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SineFit.fourParameter(new double[100], 48000, 1000))
        .withMessageContaining("no tone");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SineFit.threeParameter(new double[100], 48000, 24000))
        .withMessageContaining("24000.0 Hz");
    // Ten cycles per record beside the tone there is nothing to pull the fit there.
    assertThatIllegalArgumentException()
        .isThrownBy(
            () -> SineFit.fourParameter(Signals.sine(1, 997, 0, 48000, 48000), 48000, 987.5))
        .withMessageContaining("does not settle");
  }
}
