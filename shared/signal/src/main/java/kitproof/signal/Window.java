package kitproof.signal;

/**
 * Windows that are sums of cosines, {@code w(j) = Σ c(k)·cos(2π·k·j/n)}, in the periodic form.
 *
 * <p>Coefficients of {@link #HANN}: F. J. Harris, Proc. IEEE 66 (1978). Of {@link #FLAT_TOP}:
 * HFT90D of G. Heinzel, A. Rüdiger, R. Schilling, "Spectrum and spectral density estimation by the
 * DFT" (2002): flat within 0.004 dB, side lobes below -90 dB.
 */
public enum Window {
  /** None; for whole numbers of cycles. */
  RECTANGULAR(1),
  /** For noise, and for lines whose exact level between bins does not matter. */
  HANN(0.5, -0.5),
  /** For the level of a line wherever it lies between bins. */
  FLAT_TOP(1, -1.942604, 1.340318, -0.440811, 0.043097);

  private final double[] coefficients;

  Window(double... coefficients) {
    this.coefficients = coefficients;
  }

  /** Mean of the window: what a line's amplitude is multiplied by. */
  public double coherentGain() {
    return coefficients[0];
  }

  /** Mean of the window's square: what the power of noise is multiplied by. */
  public double meanSquare() {
    double sum = coefficients[0] * coefficients[0];
    for (int k = 1; k < coefficients.length; k++) {
      sum += coefficients[k] * coefficients[k] / 2;
    }
    return sum;
  }

  /** Bandwidth of the rectangle that lets the same noise through, in bins. */
  public double noiseBandwidthBins() {
    return meanSquare() / (coefficients[0] * coefficients[0]);
  }

  /** Multiplies the samples, in place, by a window of their length. */
  void applyTo(double[] samples) {
    if (this == RECTANGULAR) {
      return;
    }
    int n = samples.length;
    double[] cos = new double[Rotation.BLOCK];
    double[] sin = new double[Rotation.BLOCK];
    for (int from = 0; from <= n / 2; from += Rotation.BLOCK) {
      Rotation.fill(2 * Math.PI / n, from, cos, sin);
      int to = Math.min(from + Rotation.BLOCK, n / 2 + 1);
      for (int j = from; j < to; j++) {
        double weight = weight(cos[j - from]);
        samples[j] *= weight;
        if (j > 0 && j != n - j) {
          samples[n - j] *= weight;
        }
      }
    }
  }

  /** Clenshaw's recurrence: all terms from one cosine. */
  private double weight(double cos) {
    double b1 = 0;
    double b2 = 0;
    for (int k = coefficients.length - 1; k > 0; k--) {
      double b0 = coefficients[k] + 2 * cos * b1 - b2;
      b2 = b1;
      b1 = b0;
    }
    return coefficients[0] + cos * b1 - b2;
  }
}
