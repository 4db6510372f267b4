package kitproof.signal;

/**
 * The sums over the samples that a least-squares fit of sine and cosine at the multiples of one
 * frequency needs.
 *
 * <p>Time is counted in samples from the middle of the record. That makes every product of an even
 * and an odd function vanish, lets samples be taken in pairs, and gives the sums that hold no data
 * in closed form.
 */
final class HarmonicSums {
  /** Σx·cos, Σx·sin, Σx·t·cos and Σx·t·sin by order; index 0 of {@code cos} is Σx. */
  final double[] cos;

  final double[] sin;
  final double[] timeCos;
  final double[] timeSin;

  private final Weighting weighting;
  private final int n;

  private HarmonicSums(int n, int orders, Weighting weighting) {
    this.n = n;
    this.weighting = weighting;
    cos = new double[orders + 1];
    sin = new double[orders + 1];
    timeCos = new double[orders + 1];
    timeSin = new double[orders + 1];
  }

  /** Goes over the samples once. */
  static HarmonicSums of(double[] x, double omega, int orders, Weighting weighting) {
    int n = x.length;
    HarmonicSums sums = new HarmonicSums(n, orders, weighting);
    boolean odd = n % 2 == 1;
    if (odd) {
      for (int h = 0; h <= orders; h++) {
        sums.cos[h] = x[n / 2];
      }
    }
    int pairs = n / 2;
    double start = odd ? 1 : 0.5;
    for (int from = 0; from < pairs; from += Rotation.BLOCK) {
      int count = Math.min(Rotation.BLOCK, pairs - from);
      sums.add(x, omega, orders, from, count, from + start);
    }
    return sums;
  }

  /** One block of pairs. */
  private void add(double[] x, double omega, int orders, int from, int count, double time) {
    double[] even = new double[count];
    double[] odd = new double[count];
    double[] timeEven = new double[count];
    double[] timeOdd = new double[count];
    double[] turn = new double[count];
    double[] cosNow = new double[count];
    double[] sinNow = new double[count];
    double[] cosBefore = new double[count];
    double[] sinBefore = new double[count];
    Rotation.fill(omega, time, cosNow, sinNow);
    double[] weight = weighting.weights(time, n, count);
    for (int i = 0; i < count; i++) {
      double right = x[n - n / 2 + from + i];
      double left = x[n / 2 - 1 - from - i];
      even[i] = weight[i] * (right + left);
      odd[i] = weight[i] * (right - left);
      timeEven[i] = (time + i) * even[i];
      timeOdd[i] = (time + i) * odd[i];
      cos[0] += even[i];
      cosBefore[i] = 1;
      turn[i] = 2 * cosNow[i];
    }
    for (int h = 1; h <= orders; h++) {
      double xc = 0;
      double xs = 0;
      double xtc = 0;
      double xts = 0;
      for (int i = 0; i < count; i++) {
        xc += even[i] * cosNow[i];
        xs += odd[i] * sinNow[i];
        xtc += timeOdd[i] * cosNow[i];
        xts += timeEven[i] * sinNow[i];
        // Chebyshev: the next multiple of the angle from the last two.
        double cosNext = turn[i] * cosNow[i] - cosBefore[i];
        double sinNext = turn[i] * sinNow[i] - sinBefore[i];
        cosBefore[i] = cosNow[i];
        sinBefore[i] = sinNow[i];
        cosNow[i] = cosNext;
        sinNow[i] = sinNext;
      }
      cos[h] += xc;
      sin[h] += xs;
      timeCos[h] += xtc;
      timeSin[h] += xts;
    }
  }

  /** Σcos φt, weighted. */
  double cosines(double phi) {
    return weighting.sum(this::evenCosines, phi, n);
  }

  /** Σt·sin φt, weighted. */
  double timeSines(double phi) {
    return weighting.sum(this::evenTimeSines, phi, n);
  }

  /** Σt²·cos φt, weighted. */
  double squareCosines(double phi) {
    return weighting.sum(this::evenSquareCosines, phi, n);
  }

  private double evenCosines(double phi) {
    double s = Math.sin(phi / 2);
    return s == 0 ? n : Math.sin(n * phi / 2) / s;
  }

  /** Minus the derivative of {@link #evenCosines}. */
  private double evenTimeSines(double phi) {
    double s = Math.sin(phi / 2);
    if (s == 0) {
      return 0;
    }
    return (evenCosines(phi) * Math.cos(phi / 2) / 2 - n / 2.0 * Math.cos(n * phi / 2)) / s;
  }

  /** The derivative of {@link #evenTimeSines}. */
  private double evenSquareCosines(double phi) {
    double s = Math.sin(phi / 2);
    if (s == 0) {
      return n * ((double) n * n - 1) / 12;
    }
    return ((double) n * n / 4 * Math.sin(n * phi / 2)
            - evenTimeSines(phi) * Math.cos(phi / 2)
            - evenCosines(phi) * s / 4)
        / s;
  }
}
