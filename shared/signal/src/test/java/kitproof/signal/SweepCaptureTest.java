package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SweepCaptureTest {
  private static final double RATE = 48_000;
  private static final Sweep SWEEP = Sweep.synchronised(20, 20_000, 2, RATE);

  /**
   * The capture by formula, at the times at which a recorder's clock samples: a first-order
   * high-pass in closed form for a sweep so slow that it is quasi-stationary, which 8 Hz below a
   * sweep from 20 Hz on is to a thousandth.
   */
  private static double[] captured(double clock, double delaySeconds, double sign, double dc) {
    double[] samples = new double[SWEEP.length() + 48_000];
    double l = SWEEP.secondsPerFactor();
    double lead = (int) Math.ceil(l * Math.log(2) * RATE) / RATE;
    for (int n = 0; n < samples.length; n++) {
      double t = n / (RATE * clock) - delaySeconds;
      double factor = Math.exp((t - lead) / l);
      double hz = SWEEP.startHz() * factor;
      boolean on = t >= 0 && t < SWEEP.length() / RATE;
      samples[n] =
          dc
              + (on
                  ? sign * 2 * SWEEP.fade(hz) * Math.sin(2 * Math.PI * SWEEP.cycles() * factor)
                  : 0);
    }
    return samples;
  }

  @ParameterizedTest
  @CsvSource({
    "1, 0.3, 1, 0",
    "1.0001, 0.1234567, 1, 0.2",
    "0.99995, 0.5, -1, 0",
    "1.0004, 0.00731, -1, -0.1",
  })
  void clock_delay_and_polarity_of_another_recorder_are_found(
      double clock, double delay, double sign, double dc) {
    SweepCapture found = SweepCapture.of(SWEEP, 0.5, captured(clock, delay, sign, dc));
    // In parts per million.
    assertThat((found.clockRatio() - clock) * 1e6).isCloseTo(0, within(0.05));
    assertThat(found.startSeconds()).isCloseTo(delay, within(1e-6));
    assertThat(found.inverted()).isEqualTo(sign < 0);
    for (double hz : ResponseFigures.logSpaced(20, 20_000, 6)) {
      assertThat(found.linear().gainDb(hz)).as("%s Hz", hz).isCloseTo(12.0412, within(0.01));
      double phase = found.linear().phaseDegrees(hz);
      assertThat(Math.abs(phase)).as("%s Hz", hz).isCloseTo(sign < 0 ? 180 : 0, within(1.0));
    }
  }

  /** Source of the filter: filter_responses.csv; its corner is where SciPy has -3.01 dB. */
  @Test
  void a_filter_does_not_pass_for_a_clock() {
    Biquads device = Biquads.named("RBJ HPF fs=48000 f0=20 Q=0.7071067811865476 gain=0 dB");
    double[] played = new double[SWEEP.length() + 40_000];
    System.arraycopy(SWEEP.samples(1), 0, played, 7777, SWEEP.length());
    SweepCapture found = SweepCapture.of(SWEEP, 1, device.filter(played));
    assertThat((found.clockRatio() - 1) * 1e6).isCloseTo(0, within(1.0));
    assertThat(found.startSeconds()).isCloseTo(7777 / RATE, within(5e-6));
    assertThat(found.linear().gainDb(20)).isCloseTo(-3.0103, within(0.03));
    assertThat(found.linear().gainDb(1000)).isCloseTo(0, within(0.01));
  }

  @Test
  void a_known_clock_is_taken_as_it_is() {
    SweepCapture found = SweepCapture.of(SWEEP, 0.5, captured(1.0001, 0.2, 1, 0), 1.0001);
    assertThat(found.clockRatio()).isEqualTo(1.0001);
    assertThat(found.startSeconds()).isCloseTo(0.2, within(1e-6));
  }

  @Test
  void what_is_no_whole_sweep_is_refused() {
    double[] whole = captured(1, 0.1, 1, 0);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SweepCapture.of(SWEEP, 1, new double[100_000]))
        .withMessage("nothing in the capture");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SweepCapture.of(SWEEP, 1, Arrays.copyOf(whole, SWEEP.length())))
        .withMessageContaining("begins at sample");
  }
}
