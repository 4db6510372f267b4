package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class NoiseWeightingTest {
  private static final Band AUDIBLE = new Band(5, 22e3);

  private static double number(Map<String, String> row, String name) {
    return Double.parseDouble(row.get(name));
  }

  /**
   * Sines through the whole measurement. Source of the values: weighting_AC_analytic.csv, SciPy's
   * evaluation of the formulas of IEC 61672-1:2013, Annex E.
   */
  @ParameterizedTest
  @CsvSource({"A, 96e3", "A, 192e3", "C, 96e3", "C, 192e3"})
  void a_sine_through_a_curve_is_within_a_twentieth_of_a_decibel(
      NoiseWeighting weighting, double rate) {
    String column = weighting + "_dB_at_exact";
    int checked = 0;
    for (Map<String, String> row : Reference.rows("weighting_AC_analytic.csv")) {
      double hz = number(row, "exact_Hz");
      double[] sine = Signals.sine(1, hz, 0.3, rate, (int) rate);
      double level = Levels.db(weighting.rms(sine, rate, AUDIBLE) * Math.sqrt(2));
      assertThat(level).as(hz + " Hz").isCloseTo(number(row, column), within(0.05));
      assertThat(weighting.gainDb(hz)).isCloseTo(number(row, column), within(1e-6));
      checked++;
    }
    assertThat(checked).isEqualTo(34); // 10 Hz to 20 kHz
  }

  /** Source: the table of IEC 61672-1 in weighting_AC_table.csv, given to 0.1 dB. */
  @ParameterizedTest
  @EnumSource(names = {"A", "C"})
  void a_curve_rounds_to_the_table_of_the_standard(NoiseWeighting weighting) {
    int checked = 0;
    for (Map<String, String> row : Reference.rows("weighting_AC_table.csv")) {
      double exact = 1000 * Math.pow(10, number(row, "band_n") / 10);
      double rounded = Math.rint(weighting.gainDb(exact) * 10) / 10;
      assertThat(rounded).as(exact + " Hz").isCloseTo(number(row, weighting + "_dB"), within(1e-9));
      checked++;
    }
    assertThat(checked).isEqualTo(34); // 10 Hz to 20 kHz
  }

  /** Source: Table 1 of ITU-R BS.468-4 in weighting_468_table.csv, given to 0.1 dB. */
  @Test
  void a_sine_through_the_468_network_reads_as_in_its_table() {
    int checked = 0;
    for (Map<String, String> row : Reference.rows("weighting_468_table.csv")) {
      double hz = number(row, "f_Hz");
      if (hz <= 20e3) {
        double[] sine = Signals.sine(1, hz, 0.3, 96e3, 96000);
        double level = Levels.db(NoiseWeighting.ITU_468.rms(sine, 96e3, AUDIBLE) * Math.sqrt(2));
        assertThat(level).as(hz + " Hz").isCloseTo(number(row, "response_dB"), within(0.051));
        checked++;
      }
    }
    assertThat(checked).isGreaterThan(18);
  }

  /** Source of the values: weighting_noise_levels.csv, integrals of the curves by SciPy. */
  @Test
  void white_noise_reads_what_the_integral_of_the_curve_says() {
    double[] noise = Signals.noise(7, 1, 1 << 19);
    Band band = new Band(20, 20e3);
    double plain = NoiseWeighting.UNWEIGHTED.rms(noise, 96e3, band);
    // Uniform noise in -1…1 has a mean square of 1/3, evenly up to 48 kHz.
    assertThat(Levels.db(plain)).isCloseTo(10 * Math.log10(19980.0 / 48000 / 3), within(0.05));
    for (String name : List.of("A", "C", "468 (0 dB at 1 kHz), rms")) {
      NoiseWeighting weighting =
          name.length() == 1 ? NoiseWeighting.valueOf(name) : NoiseWeighting.ITU_468;
      double expected =
          Reference.rows("weighting_noise_levels.csv").stream()
              .filter(row -> row.get("weighting").equals(name))
              .filter(row -> row.get("noise").equals("white"))
              .filter(row -> row.get("band_lo_Hz").equals("20"))
              .mapToDouble(row -> number(row, "weighted_minus_unweighted_dB"))
              .findFirst()
              .orElseThrow();
      assertThat(Levels.db(weighting.rms(noise, 96e3, band) / plain))
          .as(name)
          .isCloseTo(expected, within(0.05));
    }
  }

  @Test
  void what_lies_outside_the_band_and_direct_voltage_do_not_count() {
    double[] inside = Signals.sine(1, 1000, 0, 96e3, 96000);
    double[] all = Signals.plus(Signals.sum(inside, Signals.sine(3, 30e3, 0, 96e3, 96000)), 5);
    double[] copy = all.clone();
    assertThat(NoiseWeighting.UNWEIGHTED.rms(all, 96e3, new Band(20, 20e3)))
        .isCloseTo(Math.sqrt(0.5), within(2e-4));
    assertThat(all).containsExactly(copy);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> NoiseWeighting.A.rms(new double[1], 96e3, AUDIBLE))
        .withMessageContaining("1 samples");
  }
}
