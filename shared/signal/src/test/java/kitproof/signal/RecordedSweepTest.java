package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Sweeps made elsewhere, known by their samples only. */
class RecordedSweepTest {
  private static final double LOW = 15;
  private static final double HIGH = 21e3;
  private static final double SECONDS = 3;
  private static final double PER_FACTOR = SECONDS / Math.log(HIGH / LOW);

  /**
   * A. Farina's sweep of 2000, not synchronised, its ends faded over some milliseconds, at any
   * time: what a program of our users may have played.
   */
  private static double farina(double t) {
    if (t < 0 || t > SECONDS) {
      return 0;
    }
    double edge = Fade.gain(t / 0.05) * Fade.gain((SECONDS - t) / 0.005);
    return 0.9
        * edge
        * Math.sin(2 * Math.PI * LOW * PER_FACTOR * (Math.exp(t / PER_FACTOR) - 1) + 0.3);
  }

  private static double[] played(double rate) {
    double[] x = new double[(int) ((SECONDS + 0.5) * rate)];
    for (int n = 0; n < x.length; n++) {
      x[n] = farina(n / rate - 0.25);
    }
    return x;
  }

  /** A recorder's samples of it through a gain, a first-order low-pass and y = x + c·x². */
  private static double[] captured(
      double rate, double ppm, double delay, double dc, double square, double corner) {
    double[] x = new double[(int) ((SECONDS + delay + 0.7) * rate)];
    double k = Math.tan(Math.PI * corner / rate);
    double last = 0;
    double out = 0;
    for (int n = 0; n < x.length; n++) {
      double v = farina(n / (rate * (1 + ppm * 1e-6)) - delay);
      double bent = -2 * (v + square * v * v);
      out = (k * (bent + last) + (1 - k) * out) / (1 + k);
      last = bent;
      x[n] = out + dc;
    }
    return x;
  }

  @ParameterizedTest
  @CsvSource({
    "48000, 48000, 0, 0.2, 0",
    "48000, 48000, 200, 0.5123, 0.1",
    "44100, 48000, -200, 0.31, -0.2",
    "96000, 48000, 77, 0.4, 0",
    "48000, 96000, -20, 0.01, 0",
  })
  void response_clock_polarity_and_harmonics_as_in_closed_form(
      double stimulusRate, double rate, double ppm, double delay, double dc) {
    RecordedSweep sweep = RecordedSweep.of(played(stimulusRate), stimulusRate, 20, 18_000).at(rate);
    assertThat(sweep.secondsPerFactor()).isCloseTo(PER_FACTOR, within(2e-3 * PER_FACTOR));
    double corner = 15_000;
    SweepCapture found = SweepCapture.of(sweep, 1, captured(rate, ppm, delay, dc, 0.01, corner));
    // The low-pass delays by up to 11 us, falling with frequency as no clock does.
    assertThat((found.clockRatio() - 1) * 1e6).isCloseTo(ppm, within(3.0));
    assertThat(found.inverted()).isTrue();
    for (double hz : ResponseFigures.logSpaced(20, 18_000, 6)) {
      // By the bilinear transform |H|² = 1 / (1 + (tan(πf/fs)/k)²); its peak of 0.9 plays as 1.
      double warped = Math.tan(Math.PI * hz / rate) / Math.tan(Math.PI * corner / rate);
      double expected = 20 * Math.log10(1.8) - 10 * Math.log10(1 + warped * warped);
      assertThat(found.linear().gainDb(hz)).as("%s Hz", hz).isCloseTo(expected, within(0.03));
    }
    // Of a sine of 0.9 the square is 0.9²/2 at twice the frequency.
    double second = 20 * Math.log10(0.01 * 0.9 / 2);
    double hz = 400;
    double fall = Math.tan(Math.PI * 2 * hz / rate) / Math.tan(Math.PI * corner / rate);
    double relative =
        found.response().harmonic(2).orElseThrow().gainDb(hz)
            - 20 * Math.log10(1.8)
            + 10 * Math.log10(1 + fall * fall);
    assertThat(relative).isCloseTo(second, within(0.1));
  }

  @Test
  void the_station_s_own_sweep_as_a_file_is_the_same_sweep() {
    Sweep made = Sweep.synchronised(20, 20_000, 2, 48e3);
    RecordedSweep known = RecordedSweep.of(made.samples(0.3), 48e3, 20, 20_000);
    assertThat(known.secondsPerFactor())
        .isCloseTo(made.secondsPerFactor(), within(1e-3 * made.secondsPerFactor()));
    double[] x = new double[made.length() + 20_000];
    System.arraycopy(made.samples(1), 0, x, 5000, made.length());
    SweepCapture byParameters = SweepCapture.of(made, 1, x);
    SweepCapture bySamples = SweepCapture.of(known, 1, x);
    for (double hz : ResponseFigures.logSpaced(20, 20_000, 6)) {
      assertThat(bySamples.linear().gainDb(hz))
          .as("%s Hz", hz)
          .isCloseTo(byParameters.linear().gainDb(hz), within(0.01));
    }
  }

  @Test
  void what_is_no_exponential_sweep_through_the_band_is_refused() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> RecordedSweep.of(new double[4800], 48e3, 20, 20e3))
        .withMessageContaining("silence");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> RecordedSweep.of(played(48e3), 48e3, 2, 20e3))
        .withMessageContaining("a stimulus");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> RecordedSweep.of(Signals.noise(1, 1, 96_000), 48e3, 20, 20e3))
        .withMessageContaining("does not rise exponentially");
    double[] linear = new double[96_000];
    for (int n = 0; n < linear.length; n++) {
      linear[n] = Math.sin(Math.PI * 20_000 * n / 48e3 * n / 96_000);
    }
    assertThatIllegalArgumentException()
        .isThrownBy(() -> RecordedSweep.of(linear, 48e3, 20, 18e3))
        .withMessageContaining("does not rise exponentially");
  }
}
