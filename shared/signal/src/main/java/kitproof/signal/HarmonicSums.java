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
  private static final int BLOCK = 512;

  /** Σx·cos, Σx·sin, Σx·t·cos and Σx·t·sin by order; index 0 of {@code cos} is Σx. */
  final double[] cos;

  final double[] sin;
  final double[] timeCos;
  final double[] timeSin;

  private HarmonicSums(int orders) {
    cos = new double[orders + 1];
    sin = new double[orders + 1];
    timeCos = new double[orders + 1];
    timeSin = new double[orders + 1];
  }

  /** Goes over the samples once. */
  static HarmonicSums of(double[] x, double omega, int orders) {
    HarmonicSums sums = new HarmonicSums(orders);
    int n = x.length;
    boolean odd = n % 2 == 1;
    if (odd) {
      for (int h = 0; h <= orders; h++) {
        sums.cos[h] = x[n / 2];
      }
    }
    int pairs = n / 2;
    double start = odd ? 1 : 0.5;
    for (int from = 0; from < pairs; from += BLOCK) {
      sums.add(x, omega, orders, from, Math.min(BLOCK, pairs - from), from + start);
    }
    return sums;
  }

  /** One block of pairs; the rotating pointer starts anew at each, so its error cannot grow. */
  private void add(double[] x, double omega, int orders, int from, int count, double time) {
    int n = x.length;
    double[] even = new double[count];
    double[] odd = new double[count];
    double[] timeEven = new double[count];
    double[] timeOdd = new double[count];
    double[] turn = new double[count];
    double[] cosNow = new double[count];
    double[] sinNow = new double[count];
    double[] cosBefore = new double[count];
    double[] sinBefore = new double[count];
    double stepCos = Math.cos(omega);
    double stepSin = Math.sin(omega);
    double c = Math.cos(omega * time);
    double s = Math.sin(omega * time);
    for (int i = 0; i < count; i++) {
      double right = x[n - n / 2 + from + i];
      double left = x[n / 2 - 1 - from - i];
      even[i] = right + left;
      odd[i] = right - left;
      timeEven[i] = (time + i) * even[i];
      timeOdd[i] = (time + i) * odd[i];
      cos[0] += even[i];
      cosNow[i] = c;
      sinNow[i] = s;
      cosBefore[i] = 1;
      turn[i] = 2 * c;
      double next = c * stepCos - s * stepSin;
      s = s * stepCos + c * stepSin;
      c = next;
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

  /** Σcos φt over n samples about the middle. */
  static double cosines(double phi, int n) {
    double s = Math.sin(phi / 2);
    return s == 0 ? n : Math.sin(n * phi / 2) / s;
  }

  /** Σt·sin φt, minus the derivative of {@link #cosines}. */
  static double timeSines(double phi, int n) {
    double s = Math.sin(phi / 2);
    if (s == 0) {
      return 0;
    }
    return (cosines(phi, n) * Math.cos(phi / 2) / 2 - n / 2.0 * Math.cos(n * phi / 2)) / s;
  }

  /** Σt²·cos φt, the derivative of {@link #timeSines}. */
  static double squareCosines(double phi, int n) {
    double s = Math.sin(phi / 2);
    if (s == 0) {
      return n * ((double) n * n - 1) / 12;
    }
    double c = Math.cos(phi / 2);
    return ((double) n * n / 4 * Math.sin(n * phi / 2)
            - timeSines(phi, n) * c
            - cosines(phi, n) * s / 4)
        / s;
  }
}
