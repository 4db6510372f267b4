package kitproof.signal;

/**
 * Samples of one clock brought onto another, by band-limited interpolation.
 *
 * <p>The kernel is a sine cardinal under a Kaiser window of 128 zero crossings (J. F. Kaiser, R. W.
 * Schafer, IEEE Trans. ASSP 28 (1980)). What lies below 0.47 of the lower of both rates comes out
 * within 2e-6 of its amplitude; above that it fades away. Within {@link #EDGE} samples of either
 * end, where the kernel reaches beyond the record, nothing is promised.
 */
public final class Resampler {
  /** Samples of the slower clock at either end that are not to be relied on. */
  public static final int EDGE = 64;

  private static final double BETA = 12.3; // side lobes below -120 dB

  private static final int TABLE = 1 << 14;
  private static final double[] WINDOW = window();

  private Resampler() {}

  /**
   * Resamples; the first sample stays where it is.
   *
   * @param ratio the new clock's rate over the old one's
   * @return as many samples as lie within the record
   */
  public static double[] of(double[] samples, double ratio) {
    Require.samples(samples, 1);
    Require.positive("ratio of sample rates", ratio);
    long length = (long) Math.floor((samples.length - 1) * ratio + 1e-9) + 1;
    if (length > Integer.MAX_VALUE - 8) {
      throw new IllegalArgumentException(length + " samples are too many");
    }
    double cut = Math.min(1, ratio);
    double reach = EDGE / cut;
    double[] cos = new double[2 * (int) Math.ceil(reach) + 2];
    double[] sin = new double[cos.length];
    double[] out = new double[(int) length];
    for (int m = 0; m < out.length; m++) {
      double at = m / ratio;
      int first = (int) Math.ceil(at - reach);
      int last = (int) Math.floor(at + reach);
      Rotation.fill(Math.PI * cut, first - at, cos, sin);
      double sum = 0;
      for (int k = Math.max(0, first); k <= Math.min(samples.length - 1, last); k++) {
        double away = k - at;
        double kernel = Math.abs(away) < 1e-9 ? cut : sin[k - first] / (Math.PI * away);
        sum += samples[k] * kernel * weight(Math.abs(away) / reach);
      }
      out[m] = sum;
    }
    return out;
  }

  private static double weight(double part) {
    double place = Math.min(1, part) * TABLE;
    int below = Math.min(TABLE - 1, (int) place);
    return WINDOW[below] + (place - below) * (WINDOW[below + 1] - WINDOW[below]);
  }

  private static double[] window() {
    double[] window = new double[TABLE + 1];
    for (int i = 0; i <= TABLE; i++) {
      double part = (double) i / TABLE;
      window[i] = bessel(BETA * Math.sqrt(1 - part * part)) / bessel(BETA);
    }
    return window;
  }

  /** The modified Bessel function of order zero, by its power series. */
  private static double bessel(double x) {
    double sum = 1;
    double term = 1;
    for (int k = 1; term > 1e-17 * sum; k++) {
      term *= x * x / (4.0 * k * k);
      sum += term;
    }
    return sum;
  }
}
