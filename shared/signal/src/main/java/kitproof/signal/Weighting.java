package kitproof.signal;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;

/** How much a sample counts in a least-squares fit, by its place in the record. */
enum Weighting {
  /** All alike, as IEEE 1057 has it. */
  EVEN,
  /**
   * A raised cosine about the middle. A line that is not part of the model (hum, an oscillation
   * above the band) then disturbs the fit less with the cube of its distance, not the first power.
   */
  HANN;

  /** The weighted sum over n samples, given the sum without weights as a function of frequency. */
  double sum(DoubleUnaryOperator even, double phi, int n) {
    double plain = even.applyAsDouble(phi);
    if (this == EVEN) {
      return plain;
    }
    double turn = 2 * Math.PI / n;
    return plain / 2 + (even.applyAsDouble(phi + turn) + even.applyAsDouble(phi - turn)) / 4;
  }

  /** The weights of samples that lie this far from the middle of a record of n, and on. */
  double[] weights(double time, int n, int count) {
    double[] weights = new double[count];
    if (this == EVEN) {
      Arrays.fill(weights, 1);
      return weights;
    }
    Rotation.fill(2 * Math.PI / n, time, weights, new double[count]);
    for (int i = 0; i < count; i++) {
      weights[i] = (1 + weights[i]) / 2;
    }
    return weights;
  }
}
