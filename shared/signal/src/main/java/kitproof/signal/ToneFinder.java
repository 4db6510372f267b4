package kitproof.signal;

import org.apache.commons.math3.stat.StatUtils;

/** Where a fit may start: the strongest line of a spectrum, between its bins. */
final class ToneFinder {
  /** A longer part would only cost time: the fit that follows works on the whole record. */
  private static final int LONGEST = 1 << 16;

  private ToneFinder() {}

  /** The strongest line within a tenth of the given frequency, or two bins if that is more. */
  static double near(double[] x, double rate, double hz) {
    return find(x, rate, hz * 0.9, hz * 1.1);
  }

  /** The strongest line above 0 Hz. */
  static double strongest(double[] x, double rate) {
    return find(x, rate, 0, rate / 2);
  }

  /** The strongest line from one frequency to another, which are two bins apart or more. */
  static double find(double[] x, double rate, double lowHz, double highHz) {
    Require.samples(x, 16);
    Require.positive("sample rate", rate);
    int length = Math.min(LONGEST, Fft.powerOfTwo(x.length / 2 + 1L));
    double[] middle = middle(x, length);
    double binHz = rate / length;
    int first = Math.max(1, (int) Math.round(Math.min(lowHz / binHz, lowHz / binHz / 0.9 - 2)));
    int last =
        (int)
            Math.min(
                length / 2.0 - 1, Math.round(Math.max(highHz / binHz, highHz / binHz / 1.1 + 2)));
    double peakHz = peak(middle, first, last) * binHz;
    // One order on the part brings the start within what the long record's fit can take.
    double omega = HarmonicFit.free(middle, 2 * Math.PI * peakHz / rate, 1, Weighting.HANN).omega();
    return omega * rate / (2 * Math.PI);
  }

  private static double[] middle(double[] x, int length) {
    double[] part = new double[length];
    System.arraycopy(x, (x.length - length) / 2, part, 0, length);
    return part;
  }

  /** Position of the strongest line in bins, exact for a lone tone seen through a Hann window. */
  private static double peak(double[] x, int first, int last) {
    double mean = StatUtils.mean(x);
    double[] spectrum = new double[x.length];
    for (int i = 0; i < x.length; i++) {
      spectrum[i] = x[i] - mean;
    }
    Window.HANN.applyTo(spectrum);
    Fft.forward(spectrum);
    int peak = first;
    for (int bin = first; bin <= last; bin++) {
      if (Fft.power(spectrum, bin) > Fft.power(spectrum, peak)) {
        peak = bin;
      }
    }
    double at = magnitude(spectrum, peak);
    if (!(at > 0)) {
      throw new IllegalArgumentException("no tone: nothing near its frequency");
    }
    double below = magnitude(spectrum, peak - 1);
    double above = magnitude(spectrum, peak + 1);
    // The ratio of two neighbouring bins of a Hann window is (1 + d) / (2 - d), d from the larger.
    double ratio = Math.max(below, above) / at;
    double offset = Math.max(0, (2 * ratio - 1) / (1 + ratio));
    return above >= below ? peak + offset : peak - offset;
  }

  private static double magnitude(double[] spectrum, int bin) {
    return Math.hypot(Fft.re(spectrum, bin), Fft.im(spectrum, bin));
  }
}
