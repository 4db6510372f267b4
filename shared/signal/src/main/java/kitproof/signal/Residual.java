package kitproof.signal;

import java.util.Arrays;

/** What is left of a record when a fit is taken out of it. */
final class Residual {
  private Residual() {}

  /** Samples without offset and fundamental; harmonics stay. */
  static double[] withoutFundamental(HarmonicFit fit, double[] x) {
    return without(fit, 1, x);
  }

  /** Rms of the samples without offset, fundamental and harmonics. */
  static double rms(HarmonicFit fit, double[] x) {
    return Levels.rms(without(fit, fit.orders(), x));
  }

  /** Mean square, inside the band, of the samples without offset, fundamental and harmonics. */
  static double bandSquares(HarmonicFit fit, double[] x, double rate, Band band) {
    int n = x.length;
    int length = Fft.powerOfTwo(n);
    double[] rest = without(fit, fit.orders(), x);
    // Hann: its side lobes fall fastest, and what lies out of band is far away in bins.
    Window.HANN.applyTo(rest);
    double[] spectrum = length == n ? rest : Arrays.copyOf(rest, length);
    Fft.forward(spectrum);
    double binHz = rate / length;
    double sum = 0;
    int last = band.lastBin(binHz, length / 2);
    for (int bin = band.firstBin(binHz); bin <= last; bin++) {
      sum += Fft.power(spectrum, bin);
    }
    return sum / ((double) length * n * Window.HANN.meanSquare());
  }

  private static double[] without(HarmonicFit fit, int orders, double[] x) {
    int n = x.length;
    double[] rest = new double[n];
    int pairs = (n + 1) / 2;
    double start = n % 2 == 1 ? 0 : 0.5;
    double[] cos = new double[Rotation.BLOCK];
    double[] sin = new double[Rotation.BLOCK];
    for (int from = 0; from < pairs; from += Rotation.BLOCK) {
      Rotation.fill(fit.omega(), from + start, cos, sin);
      int count = Math.min(Rotation.BLOCK, pairs - from);
      for (int i = 0; i < count; i++) {
        // Clenshaw's recurrence: all orders from one cosine and one sine. About the middle of the
        // record cosines are even and sines odd, so one pass serves two samples.
        double twice = 2 * cos[i];
        double cos1 = 0;
        double cos2 = 0;
        double sin1 = 0;
        double sin2 = 0;
        for (int h = orders; h > 0; h--) {
          double cos0 = fit.cos()[h] + twice * cos1 - cos2;
          cos2 = cos1;
          cos1 = cos0;
          double sin0 = fit.sin()[h] + twice * sin1 - sin2;
          sin2 = sin1;
          sin1 = sin0;
        }
        double even = fit.offset() + cos[i] * cos1 - cos2;
        double odd = sin[i] * sin1;
        int right = n / 2 + from + i;
        int left = n - 1 - right;
        rest[right] = x[right] - even - odd;
        rest[left] = x[left] - even + odd;
      }
    }
    return rest;
  }
}
