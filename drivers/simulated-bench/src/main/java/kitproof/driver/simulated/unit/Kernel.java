package kitproof.driver.simulated.unit;

/**
 * The converters' filter: a windowed sinc at half the sample rate, on the finer grid of the model.
 *
 * <p>Linear phase about each sample, so that it adds no delay. Flat to 0.41 of the sample rate,
 * better than 60 dB down from 0.59 (Kaiser's window, J. F. Kaiser 1974; design formula from
 * memory).
 */
final class Kernel {
  /** Samples on each side that a sample reaches. */
  static final int REACH = 12;

  private static final double BETA = 6.5;

  /** Finer steps per sample. */
  final int factor;

  /** Weights at steps -REACH·factor … REACH·factor - 1 from the sample, summing to the factor. */
  private final double[] weights;

  /** For each step between samples, the weights of the samples around it. */
  private final double[][] phases;

  Kernel(int factor) {
    this.factor = factor;
    int half = REACH * factor;
    weights = new double[2 * half];
    for (int i = 0; i < weights.length; i++) {
      double t = (double) (i - half) / factor;
      double sinc = t == 0 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t);
      double edge = 1 - t * t / (REACH * REACH);
      weights[i] = sinc * bessel(BETA * Math.sqrt(Math.max(0, edge))) / bessel(BETA);
    }
    double sum = 0;
    for (double w : weights) {
      sum += w;
    }
    for (int i = 0; i < weights.length; i++) {
      weights[i] *= factor / sum;
    }
    phases = new double[factor][2 * REACH];
    for (int p = 0; p < factor; p++) {
      for (int k = 0; k < 2 * REACH; k++) {
        // Sample n + k - REACH + 1 is seen from step n·factor + p.
        int offset = p - (k - REACH + 1) * factor;
        phases[p][k] = offset + half < weights.length ? weights[offset + half] : 0;
      }
    }
  }

  /**
   * The value between samples.
   *
   * @param samples with at least REACH more on each side
   * @param index of the sample before
   * @param phase steps after it
   */
  double between(double[] samples, int index, int phase) {
    double[] w = phases[phase];
    int from = index - REACH + 1;
    double a = 0;
    double b = 0;
    double c = 0;
    double d = 0;
    for (int k = 0; k < 2 * REACH; k += 4) {
      a += w[k] * samples[from + k];
      b += w[k + 1] * samples[from + k + 1];
      c += w[k + 2] * samples[from + k + 2];
      d += w[k + 3] * samples[from + k + 3];
    }
    return a + b + c + d;
  }

  /** Length of the stretch of steps that makes one sample. */
  int span() {
    return weights.length;
  }

  /** The sample at the middle of a stretch of {@link #span} steps beginning at {@code from}. */
  double decimate(double[] steps, int from) {
    double a = 0;
    double b = 0;
    double c = 0;
    double d = 0;
    for (int k = 0; k < weights.length; k += 4) {
      a += weights[k] * steps[from + k];
      b += weights[k + 1] * steps[from + k + 1];
      c += weights[k + 2] * steps[from + k + 2];
      d += weights[k + 3] * steps[from + k + 3];
    }
    return (a + b + c + d) / factor;
  }

  /** Modified Bessel function of order zero, by its series. */
  private static double bessel(double x) {
    double sum = 1;
    double term = 1;
    for (int k = 1; k < 40; k++) {
      term *= x * x / (4.0 * k * k);
      sum += term;
    }
    return sum;
  }
}
