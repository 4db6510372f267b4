package kitproof.driver.simulated.unit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class KernelTest {
  private static final int LENGTH = 200;

  private static double[] sine(double cyclesPerSample, double perSample, int length) {
    double[] samples = new double[length];
    for (int i = 0; i < length; i++) {
      samples[i] = Math.sin(2 * Math.PI * cyclesPerSample * i / perSample);
    }
    return samples;
  }

  @ParameterizedTest
  @ValueSource(ints = {2, 4, 8, 9})
  void aSineBetweenSamplesIsTheSine(int factor) {
    Kernel kernel = new Kernel(factor);
    for (double f : new double[] {0.0104, 0.1, 0.3, 0.4}) {
      double[] samples = sine(f, 1, LENGTH);
      for (int phase = 0; phase < factor; phase++) {
        double wanted = Math.sin(2 * Math.PI * f * (100 + (double) phase / factor));
        double[] between = new double[20];
        kernel.between(samples, 90, phase, between, between.length);
        assertThat(between[10])
            .as("%s of the rate, phase %d of %d", f, phase, factor)
            .isCloseTo(wanted, within(2e-3));
      }
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {2, 4, 8, 9})
  void aFineSineIsTakenBackToItsSamplesAndOneBeyondHalfTheRateIsNot(int factor) {
    Kernel kernel = new Kernel(factor);
    for (double f : new double[] {0.0104, 0.1, 0.3, 0.4}) {
      double wanted = Math.sin(2 * Math.PI * f * (40 + Kernel.REACH));
      assertThat(back(kernel, sine(f, factor, LENGTH * factor))[40])
          .isCloseTo(wanted, within(2e-3));
    }
    double[] high = back(kernel, sine(0.7, factor, LENGTH * factor));
    assertThat(high[40]).isCloseTo(0, within(2e-3));
  }

  /** Sample i + REACH at index i. */
  private static double[] back(Kernel kernel, double[] fine) {
    double[][] steps = new double[kernel.factor][LENGTH];
    for (int i = 0; i < fine.length; i++) {
      steps[i % kernel.factor][i / kernel.factor] = fine[i];
    }
    double[] samples = new double[100];
    kernel.back(steps, samples, 0, samples.length);
    return samples;
  }
}
