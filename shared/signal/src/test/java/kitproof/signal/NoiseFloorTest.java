package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class NoiseFloorTest {
  private static final double RATE = 48_000;
  private static final double NOISE = 1e-3;

  private static double[] noise(int length) {
    Random random = new Random(7);
    double[] volts = new double[length];
    Arrays.setAll(volts, i -> NOISE * random.nextGaussian());
    return volts;
  }

  /** White noise of this rms has its square spread evenly up to half the sample rate. */
  @ParameterizedTest
  @EnumSource(Window.class)
  void whiteNoiseIsFoundThoughALineStandsInIt(Window window) {
    double[] volts = noise(48_000);
    Arrays.setAll(volts, i -> volts[i] + Math.sin(2 * Math.PI * 3000 * i / RATE));
    NoiseFloor floor = NoiseFloor.of(volts, RATE, window);
    double bin = NOISE * Math.sqrt(floor.bandwidthHz() / (RATE / 2));
    double known = 3 / Math.sqrt(2 * floor.degreesOfFreedom());
    assertThat(floor.volts(9000) / bin).isCloseTo(1, within(known));
    assertThat(floor.ofSamples()).isCloseTo(NOISE, within(0.1 * NOISE));
    assertThat(floor.spectrum().volts(3000)).isCloseTo(1 / Math.sqrt(2), within(1e-3));
  }

  @Test
  void readingsScatterAboutACurveThatNeedNotBeKnown() {
    double[] readings = noise(400);
    Arrays.setAll(readings, i -> readings[i] + 5 + 0.02 * i);
    Scatter scatter = Scatter.of(readings);
    assertThat(scatter.deviation()).isCloseTo(NOISE, within(0.15 * NOISE));
    assertThat(scatter.degreesOfFreedom()).isCloseTo(398 / 1.944, within(0.1));
    assertThat(Scatter.of(new double[] {1, 3, 5, 7}).deviation()).isZero();
  }

  @Test
  void aWaveThatIsChangedByNothingIsTheSameAndOneThatIsTurnedIsLater() {
    SquareWave wave = SquareWave.near(1000, RATE);
    double[] period = wave.samples(1, wave.period());
    double[] same = wave.changed(period, hertz -> 0, hertz -> 0);
    double[] later = wave.changed(period, hertz -> 6.0206, hertz -> -360 * hertz / RATE);
    for (int i = 1; i < period.length; i++) {
      assertThat(same[i]).isCloseTo(period[i], within(1e-9));
      assertThat(later[i]).isCloseTo(2 * period[i - 1], within(1e-4));
    }
  }
}
