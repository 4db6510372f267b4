package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ToneAnalysisFittedTest {
  private static final Band AUDIO = new Band(20, 20000);
  private static final double RATE = 48000;

  @ParameterizedTest
  @ValueSource(doubles = {1000.37, 997.0, 61.3})
  void the_tones_of_the_windowed_readings_are_found_at_their_true_level(double hz) {
    // The signals of noncoherent_windowed.csv, whose amplitudes are 1, 1e-3 and 1e-5 by formula.
    int n = 65536;
    double[] x =
        Signals.sum(
            Signals.sine(1, hz, 0.4, RATE, n),
            Signals.sine(1e-3, 2 * hz, -0.2, RATE, n),
            Signals.sine(1e-5, 3 * hz, 1.0, RATE, n));
    ToneFigures figures = ToneAnalysis.fitted(x, RATE, hz * 1.03, AUDIO, 5);
    assertThat(figures.frequencyHz()).isCloseTo(hz, within(1e-9));
    assertThat(figures.levelVolts() * Math.sqrt(2)).isCloseTo(1, within(1e-11));
    assertThat(figures.harmonic(2).orElseThrow().ratio()).isCloseTo(1e-3, within(1e-11));
    assertThat(figures.harmonic(3).orElseThrow().ratio()).isCloseTo(1e-5, within(1e-11));
    assertThat(Levels.db(figures.noiseVolts())).isLessThan(-200);
  }

  @ParameterizedTest
  @CsvSource({
    // frequency, samples, rate: whole and broken periods, odd lengths, few cycles, long records
    "1000, 48000, 48000",
    "1000.5, 48000, 48000",
    "997.123, 4801, 48000",
    "20.3, 9601, 48000",
    "6543.21, 100003, 96000",
    "50.7, 4096, 48000",
  })
  void a_harmonic_at_minus_110_db_is_reached_whatever_the_periods(double hz, int n, double rate) {
    double[] x =
        Signals.plus(
            Signals.sum(
                Signals.sine(3, hz, 0.4, rate, n),
                Signals.sine(3 * Levels.ratio(-110), 3 * hz, 1.1, rate, n)),
            -0.7);
    ToneFigures figures = ToneAnalysis.fitted(x, rate, AUDIO, 5);
    assertThat(figures.frequencyHz() / hz).isCloseTo(1, within(1e-9));
    assertThat(figures.dcVolts()).isCloseTo(-0.7, within(1e-9));
    double third = figures.harmonic(3).map(Harmonic::ratio).orElse(Double.NaN);
    assertThat(Levels.db(third)).isCloseTo(-110, within(0.01));
    assertThat(Levels.db(figures.thdPlusNoise())).isCloseTo(-110, within(0.1));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "W2 harmonics",
        "W3 harmonics+noise",
        "W4 hum",
        "W8 full-scale sine, 16-bit rounding",
        "W10 small fundamental, large 2nd",
        "W11 dc offset"
      })
  void a_capture_that_begins_and_ends_anywhere_measures_as_the_coherent_block(String signal) {
    double[] block = Signals.suite(signal);
    double[] cut = java.util.Arrays.copyOfRange(block, 1234, 1234 + 45678);
    int cycles = signal.equals("W4 hum") ? 1000 : 997;
    ToneFigures whole = ToneAnalysis.coherent(block, RATE, cycles, AUDIO, 5);
    ToneFigures part = ToneAnalysis.fitted(cut, RATE, 1000, AUDIO, 5);
    assertThat(part.frequencyHz()).isCloseTo(whole.frequencyHz(), within(1e-3));
    assertThat(Levels.db(part.levelVolts() / whole.levelVolts())).isCloseTo(0, within(1e-4));
    assertThat(Levels.db(part.totalVolts() / whole.totalVolts())).isCloseTo(0, within(1e-4));
    assertThat(Levels.db(part.thdPlusNoise() / whole.thdPlusNoise())).isCloseTo(0, within(0.1));
    assertThat(Levels.db(part.noiseVolts() + 1e-9) - Levels.db(whole.noiseVolts() + 1e-9))
        .isCloseTo(0, within(0.1));
  }

  @Test
  void noise_in_the_band_is_right_within_a_tenth_of_a_decibel() {
    // White noise, uniform ±0.01, seed 7: rms 0.01/√3 over 24 kHz, of it 19.98 kHz in the band.
    double[] x =
        Signals.sum(Signals.sine(1, 1234.5, 0, RATE, 480000), Signals.noise(7, 0.01, 480000));
    double expected = 0.01 / Math.sqrt(3) * Math.sqrt(19980.0 / 24000);
    ToneFigures figures = ToneAnalysis.fitted(x, RATE, 1200, AUDIO, 10);
    assertThat(Levels.db(figures.noiseVolts() / expected)).isCloseTo(0, within(0.1));
  }

  @Test
  void a_strong_line_above_the_band_does_not_leak_into_it() {
    double[] x =
        Signals.sum(
            Signals.sine(1, 1000.3, 0, 192000, 100000),
            Signals.sine(1, 63210.9, 0.5, 192000, 100000));
    ToneFigures figures = ToneAnalysis.fitted(x, 192000, 1000, AUDIO, 10);
    assertThat(Levels.db(figures.thdPlusNoise())).isLessThan(-110);
  }

  @Test
  void the_strongest_line_is_taken_where_no_frequency_is_given() {
    double[] x =
        Signals.sum(
            Signals.sine(1, 440.2, 0, RATE, 30000), Signals.sine(0.9, 5000.1, 0, RATE, 30000));
    assertThat(ToneAnalysis.fitted(x, RATE, AUDIO, 3).frequencyHz()).isCloseTo(440.2, within(0.01));
    assertThat(ToneAnalysis.fitted(x, RATE, 4700, AUDIO, 3).frequencyHz())
        .isCloseTo(5000.1, within(0.01));
  }

  @Test
  void scale_and_input_behave_as_they_should() {
    double[] x = Signals.suite("W3 harmonics+noise");
    double[] copy = x.clone();
    ToneFigures one = ToneAnalysis.fitted(x, RATE, 1000, AUDIO, 5);
    assertThat(x).containsExactly(copy);
    ToneFigures ten = ToneAnalysis.fitted(Signals.map(x, v -> 10 * v), RATE, 1000, AUDIO, 5);
    assertThat(ten.levelVolts() / one.levelVolts()).isCloseTo(10, within(1e-9));
    assertThat(ten.thdPlusNoise() / one.thdPlusNoise()).isCloseTo(1, within(1e-9));
  }

  @Test
  void the_residual_is_what_was_added_to_the_sine() {
    double[] third = Signals.sine(0.01, 3 * 997.7, 0.8, RATE, 20000);
    double[] x = Signals.plus(Signals.sum(Signals.sine(1, 997.7, 0.1, RATE, 20000), third), 0.25);
    double[] copy = x.clone();
    double[] residual = ToneAnalysis.residual(x, RATE, 997.7);
    assertThat(x).containsExactly(copy);
    assertThat(residual).hasSameSizeAs(third);
    for (int n = 0; n < residual.length; n++) {
      assertThat(residual[n]).isCloseTo(third[n], within(1e-10));
    }
  }

  @Test
  void what_cannot_be_analysed_is_refused_with_the_reason() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.fitted(new double[0], RATE, 1000, AUDIO, 5))
        .withMessageContaining("0 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.fitted(new double[1], RATE, AUDIO, 5))
        .withMessageContaining("1 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.fitted(new double[1000], RATE, AUDIO, 5))
        .withMessageContaining("no tone");
    assertThatIllegalArgumentException()
        .isThrownBy(
            () -> ToneAnalysis.fitted(Signals.sine(1, 50, 0, RATE, 1000), RATE, 50, AUDIO, 5))
        .withMessageContaining("cycles");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneAnalysis.residual(new double[1], RATE, 1000))
        .withMessageContaining("1 samples");
  }
}
