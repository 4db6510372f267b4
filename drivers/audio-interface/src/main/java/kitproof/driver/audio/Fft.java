package kitproof.driver.audio;

/**
 * A discrete Fourier transform in place, for lengths that are powers of two.
 *
 * <p>The station's analyses transform by JTransforms, which only their module sees. A driver is a
 * plugin that needs the contract and as little else as it can: to find one marker in a capture
 * these lines are less to carry along than a library, and FftTest holds them against plain sums.
 */
final class Fft {
  private Fft() {}

  /** The smallest power of two that is not below this. */
  static int size(int atLeast) {
    return atLeast <= 1 ? 1 : Integer.highestOneBit(atLeast - 1) << 1;
  }

  /** Forward: sum of x·exp(−2πi·jk/n), not scaled. Exchange the arguments for the inverse. */
  static void transform(double[] real, double[] imaginary) {
    int n = real.length;
    for (int i = 1, j = 0; i < n; i++) {
      int bit = n >> 1;
      for (; (j & bit) != 0; bit >>= 1) {
        j ^= bit;
      }
      j ^= bit;
      if (i < j) {
        swap(real, i, j);
        swap(imaginary, i, j);
      }
    }
    double[] cos = new double[n / 2];
    double[] sin = new double[n / 2];
    for (int k = 0; k < n / 2; k++) {
      cos[k] = Math.cos(2 * Math.PI * k / n);
      sin[k] = -Math.sin(2 * Math.PI * k / n);
    }
    for (int half = 1; half < n; half <<= 1) {
      int step = n / (2 * half);
      for (int start = 0; start < n; start += 2 * half) {
        for (int k = 0; k < half; k++) {
          int a = start + k;
          int b = a + half;
          double re = real[b] * cos[k * step] - imaginary[b] * sin[k * step];
          double im = real[b] * sin[k * step] + imaginary[b] * cos[k * step];
          real[b] = real[a] - re;
          imaginary[b] = imaginary[a] - im;
          real[a] += re;
          imaginary[a] += im;
        }
      }
    }
  }

  private static void swap(double[] values, int i, int j) {
    double kept = values[i];
    values[i] = values[j];
    values[j] = kept;
  }
}
