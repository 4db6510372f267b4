package kitproof.signal;

import java.util.Arrays;

/** What is left of a record when a fit is taken out of it. */
final class Residual {
  private static final int BLOCK = 512;

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
    double[] cos = fit.cos();
    double[] sin = fit.sin();
    double stepCos = Math.cos(fit.omega());
    double stepSin = Math.sin(fit.omega());
    double middle = (n - 1) / 2.0;
    for (int from = 0; from < n; from += BLOCK) {
      // The rotating pointer starts anew at each block, so its error cannot grow.
      double c = Math.cos(fit.omega() * (from - middle));
      double s = Math.sin(fit.omega() * (from - middle));
      int to = Math.min(from + BLOCK, n);
      for (int i = from; i < to; i++) {
        // Clenshaw's recurrence: all orders from one cosine and one sine.
        double cos1 = 0;
        double cos2 = 0;
        double sin1 = 0;
        double sin2 = 0;
        for (int h = orders; h > 0; h--) {
          double cos0 = cos[h] + 2 * c * cos1 - cos2;
          cos2 = cos1;
          cos1 = cos0;
          double sin0 = sin[h] + 2 * c * sin1 - sin2;
          sin2 = sin1;
          sin1 = sin0;
        }
        rest[i] = x[i] - (fit.offset() + c * cos1 - cos2 + s * sin1);
        double next = c * stepCos - s * stepSin;
        s = s * stepCos + c * stepSin;
        c = next;
      }
    }
    return rest;
  }
}
