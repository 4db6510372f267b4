package kitproof.driver.simulated.unit;

import java.util.Arrays;

/**
 * The converters' filter: a windowed sinc at half the sample rate, on the finer grid of the model.
 *
 * <p>Linear phase about each sample, so that it adds no delay. Flat to 0.41 of the sample rate,
 * better than 60 dB down from 0.59 (Kaiser's window, J. F. Kaiser 1974; design formula from
 * memory). Works on stretches of many samples, one weight after the other, as processors like it.
 */
final class Kernel {
  /** Samples on each side that a sample reaches. */
  static final int REACH = 12;

  private static final double BETA = 6.5;

  /** Finer steps per sample. */
  final int factor;

  /** By step after the sample before, the weights of the samples around it. */
  private final double[][] between;

  /** By step after a sample, the weights of the steps around a sample; all sum to one. */
  private final double[][] back;

  Kernel(int factor) {
    this.factor = factor;
    int half = REACH * factor;
    double[] weights = new double[2 * half];
    double sum = 0;
    for (int i = 0; i < weights.length; i++) {
      weights[i] = weight(i - half, factor);
      sum += weights[i];
    }
    between = new double[factor][2 * REACH];
    back = new double[factor][2 * REACH];
    for (int p = 0; p < factor; p++) {
      for (int k = 0; k < 2 * REACH; k++) {
        // Sample n + k - REACH + 1 is seen from step n·factor + p.
        int offset = p - (k - REACH + 1) * factor;
        between[p][k] = offset + half < weights.length ? weights[offset + half] * factor / sum : 0;
        back[p][k] = weights[k * factor + p] / sum;
      }
    }
  }

  private static double weight(int steps, int factor) {
    if (steps % factor == 0) {
      return steps == 0 ? 1 : 0; // just zero, so that it costs nothing
    }
    double t = (double) steps / factor;
    double edge = 1 - t * t / (REACH * REACH);
    return Math.sin(Math.PI * t)
        / (Math.PI * t)
        * bessel(BETA * Math.sqrt(Math.max(0, edge)))
        / bessel(BETA);
  }

  /**
   * Values between samples: {@code to[i]} lies that many steps after sample {@code from + i}.
   *
   * @param samples with at least REACH more on each side
   */
  void between(double[] samples, int from, int phase, double[] to, int count) {
    Arrays.fill(to, 0, count, 0);
    for (int k = 0; k < 2 * REACH; k++) {
      add(between[phase][k], samples, from + k - REACH + 1, to, 0, count);
    }
  }

  /**
   * Takes steps back to samples: {@code to[at + i]} is the sample at step 0 of index {@code i +
   * REACH}.
   *
   * @param steps by step after the sample and by sample, 2·REACH - 1 more than are wanted
   */
  void back(double[][] steps, double[] to, int at, int count) {
    Arrays.fill(to, at, at + count, 0);
    for (int p = 0; p < factor; p++) {
      for (int k = 0; k < 2 * REACH; k++) {
        add(back[p][k], steps[p], k, to, at, count);
      }
    }
  }

  private static void add(
      double weight, double[] samples, int from, double[] to, int at, int count) {
    if (weight != 0) {
      for (int i = 0; i < count; i++) {
        to[at + i] += weight * samples[from + i];
      }
    }
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
