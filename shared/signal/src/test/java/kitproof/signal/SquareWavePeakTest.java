package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class SquareWavePeakTest {
  private static final SquareWave WAVE = new SquareWave(64, 48_000);

  /** Closed form: the highest of a sine is its amplitude, wherever the samples lie. */
  @ParameterizedTest
  @ValueSource(doubles = {0, 0.25, 0.5, 0.9})
  void itIsFoundBetweenTheSamplesToo(double offset) {
    double[] volts = new double[64 * 3];
    for (int i = 0; i < volts.length; i++) {
      volts[i] = 2 * Math.sin(2 * Math.PI * 4 * (i + offset) / 64); // 16 samples a cycle
    }
    assertThat(WAVE.peakVolts(volts)).isCloseTo(2, within(0.002));
  }

  @Test
  void anOffsetCountsForNothingAndNoiseIsAveraged() {
    Random random = new Random(1);
    double[] volts = WAVE.samples(3, 64 * 100);
    for (int i = 0; i < volts.length; i++) {
      volts[i] += 1 + 0.05 * random.nextGaussian();
    }
    assertThat(WAVE.peakVolts(volts)).isCloseTo(3, within(0.03));
  }

  @Test
  void halfAPeriodIsNone() {
    assertThatIllegalArgumentException().isThrownBy(() -> WAVE.peakVolts(new double[96]));
    assertThatIllegalArgumentException().isThrownBy(() -> WAVE.peakVolts(new double[0]));
  }
}
