package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Stairs and steps by formula, at the times of a recorder whose clock is off. */
class CapturedStairsTest {
  private static final double RATE = 48_000;
  private static final Band BAND = new Band(20, 20e3);
  private static final int STAIRS = 17;
  private static final double STAIR = 0.2;
  private static final double RATIO = Math.pow(10, 1.0 / 16);

  /** A limiter with a third harmonic in closed form: y = x - c·x³. */
  private static final double CUBIC = 0.02;

  private static double peak(int stair) {
    return 0.3 * Math.pow(RATIO, stair);
  }

  private static double[] captured(double ppm, double delay, double dc, double noise) {
    double[] hiss = Signals.noise(7, noise, (int) ((delay + STAIRS * STAIR + 0.6) * RATE));
    double[] x = new double[hiss.length];
    for (int n = 0; n < x.length; n++) {
      double t = n / (RATE * (1 + ppm * 1e-6)) - delay;
      int stair = (int) Math.floor(t / STAIR);
      double now = stair >= 0 && stair < STAIRS ? peak(stair) : 0;
      double before = stair > 0 && stair <= STAIRS ? peak(stair - 1) : 0;
      double volts =
          (before + (now - before) * Fade.gain((t - stair * STAIR) / 0.005))
              * Math.sin(2 * Math.PI * 1000 * t);
      x[n] = volts - CUBIC * volts * volts * volts + dc + hiss[n];
    }
    return x;
  }

  @ParameterizedTest
  @CsvSource({
    "0, 0.5, 0, 1e-4",
    "200, 0.1234, 0.2, 1e-4",
    "-200, 1.07, -0.1, 2e-3",
    "120, 0, 0, 1e-6"
  })
  void every_stair_is_found_with_its_level_and_its_distortion(
      double ppm, double delay, double dc, double noise) {
    List<CapturedStairs.Stair> stairs =
        CapturedStairs.of(captured(ppm, delay, dc, noise), RATE, 1000, STAIR, 0.08, BAND, 5);
    assertThat(stairs).hasSize(STAIRS);
    for (int i = 0; i < STAIRS; i++) {
      ToneFigures figures = stairs.get(i).figures();
      // Closed form of a cubed sine: sin³ = 3/4 sin - 1/4 sin 3·.
      double a = peak(i);
      double fundamental = a - 0.75 * CUBIC * a * a * a;
      double third = 0.25 * CUBIC * a * a * a / fundamental;
      assertThat(figures.levelVolts() * Math.sqrt(2))
          .isCloseTo(fundamental, within(2e-4 * fundamental + noise / 50));
      assertThat(figures.harmonic(3).orElseThrow().ratio())
          .isCloseTo(third, within(1e-5 + noise / 10 / fundamental));
      double begin = (delay + i * STAIR) * RATE * (1 + ppm * 1e-6);
      assertThat(stairs.get(i).from() - begin).isBetween(0.035 * RATE, 0.13 * RATE);
    }
  }

  @Test
  void what_holds_no_stairs_is_refused() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> CapturedStairs.of(new double[48_000], RATE, 1000, STAIR, 0.08, BAND, 5))
        .withMessageContaining("nothing near its frequency");
    double[] noise = Signals.noise(1, 0.5, 96_000);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> CapturedStairs.of(noise, RATE, 1000, STAIR, 0.08, BAND, 5))
        .withMessageContaining("no st");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> CapturedStairs.of(noise, RATE, 1000, STAIR, 0.19, BAND, 5))
        .withMessageContaining("0.19 s to settle");
  }

  /** With pauses and without, the second with one phase that runs on. */
  @ParameterizedTest
  @CsvSource({"200, 0.31, 0.1", "-200, 0, 0", "50, 0.017, 0.05"})
  void tones_one_after_the_other_are_found(double ppm, double delay, double pause) {
    double[] hertz = {20, 50, 100, 250, 1000, 3000, 7000, 12_000, 1500};
    double length = 1.1;
    int samples = (int) ((delay + hertz.length * (length + pause) + 0.4) * RATE);
    double[] hiss = Signals.noise(9, 1e-5, samples);
    double[] x = new double[samples];
    double phase = 0;
    for (int n = 0; n < samples; n++) {
      double t = n / (RATE * (1 + ppm * 1e-6)) - delay;
      int tone = (int) Math.floor(t / (length + pause));
      double within = t - tone * (length + pause);
      boolean on = tone >= 0 && tone < hertz.length && within < length;
      phase += on ? 2 * Math.PI * hertz[tone] / (RATE * (1 + ppm * 1e-6)) : 0;
      double edge = pause == 0 ? 1 : Fade.gain(Math.min(within, length - within) / 0.01);
      x[n] = 0.1 + hiss[n] + (on ? 0.5 * edge * Math.sin(phase) : 0);
    }
    List<ToneStretches.Stretch> found = ToneStretches.of(x, RATE, 1);
    assertThat(found).hasSize(hertz.length);
    for (int i = 0; i < hertz.length; i++) {
      ToneStretches.Stretch stretch = found.get(i);
      double begin = (delay + i * (length + pause)) * RATE;
      assertThat(stretch.from()).isGreaterThan((int) begin);
      assertThat(stretch.to()).isLessThan((int) (begin + length * RATE * 1.001));
      double[] part = java.util.Arrays.copyOfRange(x, stretch.from(), stretch.to());
      ToneFigures figures = ToneAnalysis.fitted(part, RATE, stretch.roughHz(), BAND, 5);
      double seen = hertz[i] / (1 + ppm * 1e-6);
      assertThat(figures.frequencyHz()).isCloseTo(seen, within(2e-5 * seen));
      assertThat(figures.levelVolts() * Math.sqrt(2)).isCloseTo(0.5, within(1e-4));
    }
  }

  @Test
  void noise_is_no_tone_and_a_blink_too_short() {
    assertThat(ToneStretches.of(Signals.noise(4, 1, 96_000), RATE, 0.4)).isEmpty();
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ToneStretches.of(Signals.noise(4, 1, 96_000), RATE, 0.001))
        .withMessageContaining("too short");
  }
}
