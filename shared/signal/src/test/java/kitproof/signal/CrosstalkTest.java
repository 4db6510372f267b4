package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CrosstalkTest {
  private static final double RATE = 48_000;
  private static final double GAIN = 20;

  /** The stray capacitance of a first-order high-pass far below its corner: 6 dB per octave. */
  private static double[] leaked(double[] driven, double at20kHz) {
    double[] other = new double[driven.length];
    double scale = at20kHz / (2 * Math.sin(Math.PI * 20_000 / RATE));
    for (int n = 1; n < driven.length; n++) {
      other[n] = scale * (driven[n] - driven[n - 1]);
    }
    return other;
  }

  /**
   * The differentiator's own response is the oracle: 2·sin(πf/fs) relative to that at 20 kHz. That
   * crosstalk is what the other channel gives over what the driven one gives, in dB: IEC 60268-3
   * (from memory).
   */
  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {11, 23, 37, 41, 59, 67, 83, 97, 1001, 2003})
  void stray_capacitance_is_found_and_noise_never_taken_for_it(long seed) {
    Sweep sweep = Sweep.synchronised(20, 20_000, 2, RATE);
    double[] stimulus = Arrays.copyOf(sweep.samples(0.2), sweep.length() + 9600);
    double[] driven = Signals.map(stimulus, v -> GAIN * v);
    double noise = 400e-6 * Math.sqrt(3);
    double[] other =
        Signals.sum(leaked(driven, 0.003), Signals.noise(seed, noise, stimulus.length));
    double[] silent = Signals.noise(seed + 1, noise, stimulus.length);
    double[] hz = ResponseFigures.logSpaced(20, 20_000, 12);
    Crosstalk found =
        Crosstalk.of(
            hz,
            SweepAnalysis.response(sweep, 0.2, driven)::at,
            SweepAnalysis.response(sweep, 0.2, other)::at,
            SweepAnalysis.response(sweep, 0.2, silent)::at);
    int clear = 0;
    for (int i = 0; i < hz.length; i++) {
      double expected =
          Levels.db(0.003 * Math.sin(Math.PI * hz[i] / RATE) / Math.sin(Math.PI * 20_000 / RATE));
      if (found.isLimited(i)) {
        // What is told is a bound: the truth lies below.
        assertThat(found.level().y(i)).as("%s Hz", hz[i]).isGreaterThan(expected);
      } else {
        clear++;
        assertThat(found.level().y(i)).as("%s Hz", hz[i]).isCloseTo(expected, within(6.0));
      }
      if (hz[i] > 5000) {
        assertThat(found.isLimited(i)).as("%s Hz", hz[i]).isFalse();
        assertThat(found.level().y(i)).as("%s Hz", hz[i]).isCloseTo(expected, within(1.5));
      }
    }
    assertThat(clear).isGreaterThan(20);
    assertThat(found.isLimited(0))
        .as("%s over %s", found.level().y(0), found.floor().y(0))
        .isTrue();
    assertThat(found.isLimitedAt(25)).isTrue();
    assertThat(found.isLimitedAt(10_000)).isFalse();
    assertThat(found.limited()).isNotEmpty();
    assertThat(found.limited().get(0).lowHz()).isEqualTo(20);
  }

  @Test
  void silence_everywhere_is_a_bound_far_down_and_a_dead_channel_is_refused() {
    double[] hz = {100, 1000};
    Crosstalk nothing = Crosstalk.of(hz, f -> Complex.ONE, f -> Complex.ZERO, f -> Complex.ZERO);
    assertThat(nothing.isLimited(1)).isTrue();
    assertThat(nothing.level().y(1)).isEqualTo(-284);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Crosstalk.of(hz, f -> Complex.ZERO, f -> Complex.ONE, f -> Complex.ONE))
        .withMessageContaining("driven channel at 100.0 Hz");
  }
}
