package kitproof.signal;

import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealVector;
import org.apache.commons.math3.linear.SingularMatrixException;
import org.jspecify.annotations.Nullable;

/**
 * Least-squares fit of an offset and sines at the multiples of one frequency.
 *
 * <p>With one order this is the three- or four-parameter fit of IEEE 1057 (Gauss-Newton on the
 * frequency); further orders are its natural extension and keep the harmonics from pulling the
 * fundamental when the record holds no whole number of cycles.
 *
 * @param omega radians per sample
 * @param offset volts
 * @param cos amplitude of each order's cosine about the middle of the record; index 0 unused
 * @param sin amplitude of each order's sine
 */
record HarmonicFit(double omega, double offset, double[] cos, double[] sin) {
  private static final int MOST_STEPS = 60;

  /** Fits at this frequency. */
  static HarmonicFit at(double[] x, double omega, int orders, Weighting weighting) {
    return solve(x.length, HarmonicSums.of(x, omega, orders, weighting), omega, null);
  }

  /**
   * Fits the frequency as well.
   *
   * @param start less than about a third of a cycle per record away
   * @throws IllegalArgumentException if the fit wanders off
   */
  static HarmonicFit free(double[] x, double start, int orders, Weighting weighting) {
    double omega = start;
    double widest = 2 * Math.PI / x.length;
    for (int step = 0; step < MOST_STEPS && Math.abs(omega - start) <= widest; step++) {
      HarmonicSums sums = HarmonicSums.of(x, omega, orders, weighting);
      HarmonicFit fit = solve(x.length, sums, omega, solve(x.length, sums, omega, null));
      double moved = Math.abs(fit.omega - omega) * x.length;
      // Newton's error shrinks as its square: after a step of 1e-7 the next would be rounding.
      if (moved < 1e-7) {
        return fit;
      }
      omega = fit.omega;
    }
    throw new IllegalArgumentException("no steady tone: the sine fit does not settle");
  }

  /** Rms of one order, 1 for the fundamental. */
  double rms(int order) {
    return Math.hypot(cos[order], sin[order]) / Math.sqrt(2);
  }

  int orders() {
    return cos.length - 1;
  }

  /**
   * One linear solve: the unknowns are offset, cosines, sines and, if there is a fit to improve,
   * the change of frequency.
   */
  private static HarmonicFit solve(
      int n, HarmonicSums sums, double omega, @Nullable HarmonicFit last) {
    int h = sums.cos.length - 1;
    int size = 2 * h + 1 + (last == null ? 0 : 1);
    if (n < size) {
      throw new IllegalArgumentException(n + " samples for " + size + " unknowns");
    }
    double[][] m = new double[size][size];
    double[] right = new double[size];
    m[0][0] = sums.cosines(0);
    right[0] = sums.cos[0];
    for (int a = 1; a <= h; a++) {
      m[0][a] = sums.cosines(a * omega);
      m[a][0] = m[0][a];
      right[a] = sums.cos[a];
      right[h + a] = sums.sin[a];
      for (int b = 1; b <= h; b++) {
        double difference = sums.cosines((a - b) * omega) / 2;
        double sum = sums.cosines((a + b) * omega) / 2;
        m[a][b] = difference + sum;
        m[h + a][h + b] = difference - sum;
      }
    }
    double scale = last == null ? 0 : last.addSlope(m, right, sums, n);
    double[] found = invert(m, right);
    double[] cos = new double[h + 1];
    double[] sin = new double[h + 1];
    System.arraycopy(found, 1, cos, 1, h);
    System.arraycopy(found, h + 1, sin, 1, h);
    double change = last == null ? 0 : found[size - 1] * scale;
    return new HarmonicFit(omega + change, found[0], cos, sin);
  }

  /**
   * Adds the row and column of the slope against frequency, Σ h·t·(sin_h·cos hωt − cos_h·sin hωt).
   *
   * @return what the unknown of that column is counted in, chosen to keep the matrix balanced
   */
  private double addSlope(double[][] m, double[] right, HarmonicSums sums, int n) {
    int h = orders();
    int last = right.length - 1;
    double size = 0;
    for (int a = 1; a <= h; a++) {
      size += a * a * (cos[a] * cos[a] + sin[a] * sin[a]);
    }
    if (size == 0) {
      throw new IllegalArgumentException("no tone: nothing at its frequency");
    }
    double scale = 2 / (n * Math.sqrt(size));
    for (int b = 1; b <= h; b++) {
      double sinPart = -b * cos[b] * scale;
      double cosPart = b * sin[b] * scale;
      right[last] += sinPart * sums.timeSin[b] + cosPart * sums.timeCos[b];
      m[0][last] += sinPart * sums.timeSines(b * omega);
      for (int a = 1; a <= h; a++) {
        double sum = sums.timeSines((a + b) * omega) / 2;
        double difference = sums.timeSines((b - a) * omega) / 2;
        m[a][last] += sinPart * (sum + difference);
        m[h + a][last] += cosPart * (sum - difference);
        double sumSquare = sums.squareCosines((a + b) * omega) / 2;
        double differenceSquare = sums.squareCosines((b - a) * omega) / 2;
        m[last][last] +=
            -a * cos[a] * scale * sinPart * (differenceSquare - sumSquare)
                + a * sin[a] * scale * cosPart * (differenceSquare + sumSquare);
      }
    }
    for (int i = 0; i < last; i++) {
      m[last][i] = m[i][last];
    }
    return scale;
  }

  private static double[] invert(double[][] m, double[] right) {
    try {
      RealVector found =
          new LUDecomposition(new Array2DRowRealMatrix(m, false))
              .getSolver()
              .solve(new ArrayRealVector(right, false));
      return found.toArray();
    } catch (SingularMatrixException e) {
      throw new IllegalArgumentException("too few cycles for a sine fit", e);
    }
  }
}
