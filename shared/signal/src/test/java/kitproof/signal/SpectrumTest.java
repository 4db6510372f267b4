package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import kitproof.value.Curve;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class SpectrumTest {

  /** Source of the values: window_metrics.csv (Harris 1978, Heinzel et al. 2002). */
  @ParameterizedTest
  @CsvSource({"HANN, Hann", "FLAT_TOP, HFT90D"})
  void windows_have_the_bandwidth_and_flatness_of_the_papers(Window window, String name) {
    assertThat(window.noiseBandwidthBins()).isCloseTo(metric(name, "NENBW_bins"), within(1e-6));
    assertThat(window.coherentGain()).isCloseTo(metric(name, "coherent_gain"), within(1e-12));
    // A line halfway between two bins, far from 0 Hz so that its mirror does not matter.
    int n = 1 << 14;
    Spectrum spectrum = Spectrum.of(Signals.sine(1, 4000.5, 0.3, n, n), n, window);
    assertThat(Levels.db(spectrum.volts(4000) * Math.sqrt(2)))
        .isCloseTo(metric(name, "amplitude_error_at_half_bin_dB"), within(1e-5));
    double side = 0;
    for (int bin = 4010; bin < 8000; bin++) {
      side = Math.max(side, spectrum.volts(bin) * Math.sqrt(2));
    }
    assertThat(Levels.db(side)).isLessThan(metric(name, "highest_sidelobe_dB"));
  }

  private static double metric(String window, String metric) {
    return Reference.value("window_metrics.csv", "window", window, "metric", metric);
  }

  /** Source of the values: noncoherent_windowed.csv, SciPy's transform of the same formulas. */
  @ParameterizedTest
  @CsvSource({
    "1000.37, HANN, Hann, 3",
    "1000.37, FLAT_TOP, HFT90D, 6",
    "997.0, HANN, Hann, 3",
    "997.0, FLAT_TOP, HFT90D, 6",
    "61.3, HANN, Hann, 3",
    "61.3, FLAT_TOP, HFT90D, 6",
  })
  void windowed_readings_are_those_of_scipy(double hz, Window window, String name, int widthBins) {
    int n = 65536;
    double[] x =
        Signals.sum(
            Signals.sine(1, hz, 0.4, 48000, n),
            Signals.sine(1e-3, 2 * hz, -0.2, 48000, n),
            Signals.sine(1e-5, 3 * hz, 1.0, 48000, n));
    Spectrum spectrum = Spectrum.of(x, 48000, window);
    int checked = 0;
    for (Map<String, String> row : Reference.rows("noncoherent_windowed.csv")) {
      if (!row.get("case").equals("f0=" + hz + " N=65536 fs=48000 " + name)) {
        continue;
      }
      int order = row.get("quantity").charAt(1) - '0';
      int nearest = (int) Math.rint(order * hz / spectrum.binHz());
      double actual;
      if (row.get("quantity").endsWith("peak-bin amplitude")) {
        actual = 0;
        for (int bin = nearest - 1; bin <= nearest + 1; bin++) {
          actual = Math.max(actual, spectrum.volts(bin) * Math.sqrt(2));
        }
      } else {
        assertThat(row.get("quantity")).contains("±" + widthBins + " bins");
        Band around =
            new Band(
                (nearest - widthBins) * spectrum.binHz(), (nearest + widthBins) * spectrum.binHz());
        actual = spectrum.bandVolts(around) * Math.sqrt(2);
      }
      double expected = Double.parseDouble(row.get("value"));
      assertThat(actual).as(row.get("quantity")).isCloseTo(expected, within(2e-9 * expected));
      checked++;
    }
    assertThat(checked).isEqualTo(6);
  }

  @ParameterizedTest
  @EnumSource(Window.class)
  void a_line_on_a_bin_shows_its_rms_and_the_band_holds_all_energy(Window window) {
    double[] x = Signals.sine(3, 1000, 0.2, 8000, 8000);
    double[] copy = x.clone();
    Spectrum spectrum = Spectrum.of(x, 8000, window);
    assertThat(x).containsExactly(copy);
    assertThat(spectrum.size()).isEqualTo(4001);
    assertThat(spectrum.frequencyHz(1000)).isEqualTo(1000);
    assertThat(spectrum.volts(1000)).isCloseTo(3 / Math.sqrt(2), within(1e-12));
    assertThat(spectrum.strongest(new Band(20, 3000))).isEqualTo(1000);
    assertThat(spectrum.bandVolts(new Band(900, 1100))).isCloseTo(3 / Math.sqrt(2), within(1e-9));
    Curve curve = spectrum.curve(new Band(999, 1001));
    assertThat(curve.xs()).containsExactly(999, 1000, 1001);
    assertThat(curve.y(1)).isEqualTo(spectrum.volts(1000));
  }

  @Test
  void an_envelope_keeps_every_line_at_its_frequency_and_few_points() {
    double[] x =
        Signals.sum(
            Signals.sine(3, 1000, 0.2, 48000, 48000), Signals.sine(1e-3, 15001, 0, 48000, 48000));
    Spectrum spectrum = Spectrum.of(x, 48000, Window.RECTANGULAR);
    Curve curve = spectrum.envelope(new Band(20, 20000), 48);
    assertThat(curve.size()).isBetween(300, 490);
    assertThat(curve.x(0)).isEqualTo(20);
    assertThat(curve.x(curve.size() - 1)).isEqualTo(20_000);
    int lines = 0;
    for (int i = 0; i < curve.size(); i++) {
      if (curve.y(i) > 1e-6) {
        assertThat(curve.x(i)).isIn(1000.0, 15001.0);
        assertThat(curve.y(i)).isEqualTo(spectrum.volts((int) curve.x(i)));
        lines++;
      }
    }
    assertThat(lines).isEqualTo(2);
  }

  @Test
  void noise_reads_the_same_through_every_window() {
    double[] noise = Signals.noise(3, 1, 1 << 17);
    Band band = new Band(100, 20000);
    double plain = Spectrum.of(noise, 48000, Window.RECTANGULAR).bandVolts(band);
    assertThat(plain).isCloseTo(Math.sqrt(19900.0 / 24000 / 3), within(0.003));
    assertThat(Spectrum.of(noise, 48000, Window.HANN).bandVolts(band) / plain)
        .isCloseTo(1, within(0.01));
    assertThat(Spectrum.of(noise, 48000, Window.FLAT_TOP).bandVolts(band) / plain)
        .isCloseTo(1, within(0.01));
  }

  @Test
  void direct_voltage_and_half_the_rate_read_their_rms() {
    double[] x = {3, 1, 3, 1, 3, 1, 3, 1};
    Spectrum spectrum = Spectrum.of(x, 8, Window.RECTANGULAR);
    assertThat(spectrum.volts(0)).isCloseTo(2, within(1e-15));
    assertThat(spectrum.volts(4)).isCloseTo(1, within(1e-15));
    assertThat(spectrum.bandVolts(new Band(0, 8))).isCloseTo(1, within(1e-15));
  }

  @Test
  void what_cannot_be_analysed_is_refused_with_the_reason() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Spectrum.of(new double[0], 48000, Window.HANN))
        .withMessageContaining("0 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Spectrum.of(new double[1], 48000, Window.HANN))
        .withMessageContaining("1 samples");
    Spectrum spectrum = Spectrum.of(new double[] {1, 2, 3, 4}, 4, Window.HANN);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> spectrum.strongest(new Band(10, 20)))
        .withMessageContaining("no bin");
  }
}
