package kitproof.signal;

import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.SingularMatrixException;

/**
 * Least-squares fit of an offset and sines at any known frequencies, the samples weighted by a
 * raised cosine: the three-parameter fit of IEEE 1057 for many lines at once. No line of the model
 * leaks into another, wherever they lie between spectrum bins.
 *
 * @param omegas radians per sample
 * @param offset volts
 * @param cos amplitude of each line's cosine about the middle of the record
 * @param sin amplitude of each line's sine
 */
record LineFit(double[] omegas, double offset, double[] cos, double[] sin) {

  /**
   * Fits.
   *
   * @param omegas apart by two cycles per record or more, and as far from 0 and half the rate
   */
  static LineFit at(double[] x, double[] omegas) {
    int lines = omegas.length;
    HarmonicSums[] sums = new HarmonicSums[lines];
    for (int i = 0; i < lines; i++) {
      sums[i] = HarmonicSums.of(x, omegas[i], 1, Weighting.HANN);
    }
    // About the middle cosines are even and sines odd: two systems that do not touch.
    double[][] even = new double[lines + 1][lines + 1];
    double[][] odd = new double[lines][lines];
    double[] evenRight = new double[lines + 1];
    double[] oddRight = new double[lines];
    even[lines][lines] = sums[0].cosines(0);
    evenRight[lines] = sums[0].cos[0];
    for (int a = 0; a < lines; a++) {
      evenRight[a] = sums[a].cos[1];
      oddRight[a] = sums[a].sin[1];
      even[a][lines] = sums[a].cosines(omegas[a]);
      even[lines][a] = even[a][lines];
      for (int b = 0; b < lines; b++) {
        double difference = sums[a].cosines(omegas[a] - omegas[b]) / 2;
        double sum = sums[a].cosines(omegas[a] + omegas[b]) / 2;
        even[a][b] = difference + sum;
        odd[a][b] = difference - sum;
      }
    }
    double[] cos = solve(even, evenRight);
    return new LineFit(omegas.clone(), cos[lines], cos, solve(odd, oddRight));
  }

  private static double[] solve(double[][] matrix, double[] right) {
    try {
      return new LUDecomposition(new Array2DRowRealMatrix(matrix, false))
          .getSolver()
          .solve(new ArrayRealVector(right, false))
          .toArray();
    } catch (SingularMatrixException e) {
      throw new IllegalArgumentException("lines too near to one another to be told apart", e);
    }
  }

  /** Rms of a line. */
  double rms(int line) {
    return Math.hypot(cos[line], sin[line]) / Math.sqrt(2);
  }

  /** The samples without offset and without every line but this one; -1 for without all. */
  double[] without(double[] x, int butLine) {
    double[] rest = x.clone();
    double middle = (x.length - 1) / 2.0;
    double[] c = new double[Rotation.BLOCK];
    double[] s = new double[Rotation.BLOCK];
    for (int from = 0; from < x.length; from += Rotation.BLOCK) {
      int count = Math.min(Rotation.BLOCK, x.length - from);
      for (int line = 0; line < omegas.length; line++) {
        if (line == butLine) {
          continue;
        }
        Rotation.fill(omegas[line], from - middle, c, s);
        for (int i = 0; i < count; i++) {
          rest[from + i] -= cos[line] * c[i] + sin[line] * s[i];
        }
      }
      for (int i = 0; i < count; i++) {
        rest[from + i] -= offset;
      }
    }
    return rest;
  }
}
