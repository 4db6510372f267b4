package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.util.Map;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ToneAnalysisCoherentTest {
  private static final Band AUDIO = new Band(20, 20000);

  /** Source of the values: waveform_suite_results.csv, SciPy's rfft of the same formulas. */
  @ParameterizedTest
  @CsvSource({
    "W1 pure, 997, 1e-9",
    "W2 harmonics, 997, 1e-9",
    "W3 harmonics+noise, 997, 1e-9",
    "W4 hum, 1000, 1e-9",
    "'W8 full-scale sine, 16-bit rounding', 997, 1e-6",
    "'W9 -60 dB sine, 16-bit rounding', 997, 1e-6",
    "'W10 small fundamental, large 2nd', 997, 1e-9",
    "W11 dc offset, 997, 1e-9",
  })
  void the_suite_of_waveforms_measures_as_scipy_says(String signal, int cycles, double tolerance) {
    double[] x = Signals.suite(signal);
    ToneFigures five = ToneAnalysis.coherent(x, 48000, cycles, AUDIO, 5);
    ToneFigures all = ToneAnalysis.coherent(x, 48000, cycles, AUDIO, 20000 / cycles);
    int checked = 0;
    for (Map<String, String> row : Reference.rows("waveform_suite_results.csv")) {
      if (!row.get("signal").equals(signal)) {
        continue;
      }
      double expected = Double.parseDouble(row.get("value"));
      String quantity = row.get("quantity");
      double actual =
          switch (quantity) {
            case "rms_total_time_domain" -> Levels.rms(x);
            case "mean" -> five.dcVolts();
            case "rms_20_20k" -> five.totalVolts();
            case "fundamental_peak_amplitude" -> five.levelVolts() * Math.sqrt(2);
            // IEC 60268-3 (from memory): harmonics over the fundamental, root of summed squares.
            case "THD_F (all harmonics to 20 kHz)" -> all.thd();
            case "THD_R" -> all.thd() / Math.hypot(1, all.thd());
            case "THD_F (2..5)" -> five.thd();
            // AES17 (from memory): what a notch on the tone leaves of the band, over the whole
            // band.
            case "THD+N ratio (20 Hz-20 kHz, re total)" -> five.thdPlusNoise();
            default -> {
              assertThat(quantity).matches("H[2-5]_peak_amplitude");
              int order = quantity.charAt(1) - '0';
              yield five.harmonic(order).orElseThrow().volts() * Math.sqrt(2);
            }
          };
      // Ten digits are printed; below a millionth of the fundamental the rounding of x shows.
      double relative = expected < 1e-6 * five.levelVolts() ? 1e-4 : tolerance;
      assertThat(actual)
          .as(quantity)
          .isCloseTo(expected, within(Math.max(relative * Math.abs(expected), 1e-15)));
      checked++;
    }
    assertThat(checked).isGreaterThanOrEqualTo(3);
  }

  @ParameterizedTest
  @ValueSource(ints = {63, 64})
  @DisplayName("all figures are those of a Fourier transform written out as sums (seed 5)")
  void naiveTransform(int n) {
    double[] x = Signals.plus(Signals.noise(5, 1, n), 0.3);
    double rate = 1000;
    Band band = new Band(60, 430);
    int cycles = 5;
    double[] square = new double[n / 2 + 1];
    for (int k = 0; k <= n / 2; k++) {
      double re = 0;
      double im = 0;
      for (int i = 0; i < n; i++) {
        re += x[i] * Math.cos(2 * Math.PI * k * i / n);
        im -= x[i] * Math.sin(2 * Math.PI * k * i / n);
      }
      square[k] = 2 * (re * re + im * im) / ((double) n * n);
    }
    double harmonics = square[10] + square[15] + square[20];
    double rest = 0;
    for (int k = 0; k <= n / 2; k++) {
      rest += k != cycles && k * rate / n >= 60 && k * rate / n <= 430 ? square[k] : 0;
    }
    ToneFigures figures = ToneAnalysis.coherent(x, rate, cycles, band, 4);
    assertThat(figures.frequencyHz()).isCloseTo(cycles * rate / n, within(1e-9));
    assertThat(figures.levelVolts()).isCloseTo(Math.sqrt(square[5]), within(1e-13));
    assertThat(figures.thd()).isCloseTo(Math.sqrt(harmonics / square[5]), within(1e-12));
    assertThat(figures.totalVolts()).isCloseTo(Math.sqrt(square[5] + rest), within(1e-13));
    assertThat(figures.noiseVolts()).isCloseTo(Math.sqrt(rest - harmonics), within(1e-13));
    assertThat(figures.thdPlusNoise())
        .isCloseTo(Math.sqrt(rest / (square[5] + rest)), within(1e-12));
  }

  @Test
  void scaling_scales_levels_and_leaves_ratios() {
    double[] x = Signals.suite("W3 harmonics+noise");
    ToneFigures one = ToneAnalysis.coherent(x, 48000, 997, AUDIO, 10);
    ToneFigures forty = ToneAnalysis.coherent(Signals.map(x, v -> -40 * v), 48000, 997, AUDIO, 10);
    assertThat(forty.levelVolts()).isCloseTo(40 * one.levelVolts(), withinPercentage(1e-9));
    assertThat(forty.noiseVolts()).isCloseTo(40 * one.noiseVolts(), withinPercentage(1e-9));
    assertThat(forty.thd()).isCloseTo(one.thd(), withinPercentage(1e-9));
    assertThat(forty.thdPlusNoise()).isCloseTo(one.thdPlusNoise(), withinPercentage(1e-9));
  }

  @Test
  void turning_the_block_round_changes_nothing() {
    double[] x = Signals.suite("W3 harmonics+noise");
    double[] turned = new double[x.length];
    for (int n = 0; n < x.length; n++) {
      turned[n] = x[(n + 12345) % x.length];
    }
    ToneFigures before = ToneAnalysis.coherent(x, 48000, 997, AUDIO, 10);
    ToneFigures after = ToneAnalysis.coherent(turned, 48000, 997, AUDIO, 10);
    assertThat(after.levelVolts()).isCloseTo(before.levelVolts(), withinPercentage(1e-9));
    assertThat(after.thdPlusNoise()).isCloseTo(before.thdPlusNoise(), withinPercentage(1e-9));
  }

  @Test
  void the_input_is_left_alone() {
    double[] x = Signals.suite("W3 harmonics+noise");
    double[] copy = x.clone();
    ToneAnalysis.coherent(x, 48000, 997, AUDIO, 10);
    assertThat(x).containsExactly(copy);
  }

  @Test
  void harmonics_above_the_band_or_half_the_rate_are_listed_as_missing() {
    double[] x = Signals.sine(1, 7000, 0, 48000, 48000);
    ToneFigures band = ToneAnalysis.coherent(x, 48000, 7000, AUDIO, 5);
    assertThat(band.harmonics()).extracting(Harmonic::order).containsExactly(2);
    assertThat(band.missingHarmonics()).containsExactly(3, 4, 5);
    ToneFigures wide = ToneAnalysis.coherent(x, 48000, 7000, new Band(20, 40000), 5);
    assertThat(wide.harmonics()).extracting(Harmonic::order).containsExactly(2, 3);
    assertThat(wide.missingHarmonics()).containsExactly(4, 5);
    // The fourth harmonic of 5 kHz lies on the band's edge, which belongs to the band.
    double[] edge = Signals.sine(1, 5000, 0, 48000, 48000);
    assertThat(ToneAnalysis.coherent(edge, 48000, 5000, AUDIO, 5).missingHarmonics())
        .containsExactly(5);
  }

  @Test
  void lines_outside_the_band_are_not_measured() {
    double[] tone = Signals.sine(1, 1000, 0, 48000, 48000);
    double[] outside =
        Signals.sum(
            tone,
            Signals.sine(0.1, 19, 0, 48000, 48000),
            Signals.sine(0.1, 20001, 0, 48000, 48000));
    double[] edges =
        Signals.sum(
            tone,
            Signals.sine(0.03, 20, 0, 48000, 48000),
            Signals.sine(0.04, 20000, 0, 48000, 48000));
    assertThat(ToneAnalysis.coherent(outside, 48000, 1000, AUDIO, 10).noiseVolts())
        .isLessThan(1e-12);
    assertThat(ToneAnalysis.coherent(edges, 48000, 1000, AUDIO, 10).noiseVolts())
        .isCloseTo(0.05 / Math.sqrt(2), within(1e-12));
  }

  @Test
  void a_tone_at_minus_110_db_beside_a_clean_one_is_found() {
    CoherentTone tone = CoherentTone.near(1000, 192000, 1 << 17);
    CoherentTone third = new CoherentTone(3 * tone.cycles(), 1 << 17, 192000);
    double[] x = Signals.sum(tone.samples(1, 1 << 17), third.samples(Levels.ratio(-110), 1 << 17));
    ToneFigures figures = ToneAnalysis.coherent(x, 192000, tone.cycles(), AUDIO, 10);
    assertThat(Levels.db(figures.harmonic(3).orElseThrow().ratio())).isCloseTo(-110, within(1e-6));
    assertThat(Levels.db(figures.thdPlusNoise())).isCloseTo(-110, within(1e-6));
  }

  @Test
  void what_cannot_be_analysed_is_refused_with_the_reason() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.coherent(new double[0], 48000, 1, AUDIO, 5))
        .withMessageContaining("0 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.coherent(new double[1], 48000, 1, AUDIO, 5))
        .withMessageContaining("1 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.coherent(new double[64], 48000, 3, AUDIO, 5))
        .withMessageContaining("no tone");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.coherent(new double[64], 48000, 32, AUDIO, 5))
        .withMessageContaining("32 cycles in 64 samples");
    double[] broken = Signals.sine(1, 3, 0, 64, 64);
    broken[17] = Double.NaN;
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.coherent(broken, 48000, 3, AUDIO, 5))
        .withMessageContaining("sample 17 is NaN");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.coherent(Signals.sine(1, 3, 0, 64, 64), 48000, 3, AUDIO, 0))
        .withMessageContaining("order 0");
    assertThatIllegalArgumentException().isThrownBy(() -> new Band(100, 100));
  }
}
