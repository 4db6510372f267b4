package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Levels and means of windows, against closed forms. */
class EnvelopeTest {
  private static final double RATE = 96_000;

  private static double[] samples(double seconds, DoubleUnaryOperator ofTime) {
    double[] samples = new double[(int) (seconds * RATE)];
    for (int i = 0; i < samples.length; i++) {
      samples[i] = ofTime.applyAsDouble(i / RATE);
    }
    return samples;
  }

  /** A steady tone has one level, however its cycles fall on samples and whatever it stands on. */
  @ParameterizedTest
  @ValueSource(doubles = {20, 63.7, 999.898, 1000.16, 6401.3, 19_999})
  void aSteadyToneHasOneLevelThoughNoWindowHoldsWholeCyclesOfIt(double hz) {
    double[] tone =
        samples(0.3, t -> 0.4 + 2 * Math.sqrt(2) * Math.sin(2 * Math.PI * hz * t + 0.7));
    Envelope envelope = Envelope.of(tone, RATE, hz);
    for (int k = 0; k < envelope.size(); k++) {
      assertThat(envelope.volts(k)).isCloseTo(2, within(1e-9));
    }
    assertThat(envelope.settledSeconds(1e-6).orElseThrow()).isZero();
  }

  @Test
  void meansFollowWhatDiesAwayAndDoNotSeeTheMains() {
    Random random = new Random(4);
    double timeConstant = 0.05;
    double[] silence =
        samples(
            1,
            t ->
                0.2 * Math.exp(-t / timeConstant)
                    + 0.1 * Math.sin(2 * Math.PI * 50 * t)
                    + 1e-3 * random.nextGaussian());
    Envelope means = Envelope.ofMeans(silence, RATE, 0.02);
    // The mean of an exponential over a window.
    double first = 0.2 * timeConstant / 0.02 * (1 - Math.exp(-0.02 / timeConstant));
    assertThat(means.volts(0)).isCloseTo(first, within(1e-4));
    // Means of 1920 samples scatter by 1 mV / 44 = 23 uV; four times that is reached after
    // 0.05 s * ln(0.2 V / 91 uV) = 0.38 s.
    assertThat(means.settledSeconds(1e-6).orElseThrow()).isBetween(0.3, 0.45);
  }

  @Test
  void aMeanThatGoesToNothingSettlesWithinVolts() {
    double timeConstant = 0.05;
    double[] falling = new double[(int) RATE];
    for (int i = 0; i < falling.length; i++) {
      falling[i] = Math.exp(-i / RATE / timeConstant);
    }
    Envelope means = Envelope.ofMeans(falling, RATE, 0.02);
    // The mean over a window of 20 ms is 0.824 of its beginning: 1 mV at 0.05 s * ln(824) = 0.336
    // s.
    assertThat(means.settledWithin(1e-3).orElseThrow()).isBetween(0.32, 0.36);
    assertThat(means.settledSeconds(1e-3).orElse(1)).isGreaterThan(0.36);
  }

  @Test
  void tooFewWindowsAreRefused() {
    double[] three = new double[3 * 1920];
    assertThatIllegalArgumentException().isThrownBy(() -> Envelope.ofMeans(three, RATE, 0.02));
    assertThatIllegalArgumentException().isThrownBy(() -> Envelope.of(new double[500], RATE, 1000));
  }
}
