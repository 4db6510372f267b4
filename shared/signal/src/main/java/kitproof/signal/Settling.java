package kitproof.signal;

import java.util.Arrays;
import java.util.OptionalDouble;

/**
 * Whether and when readings came to rest.
 *
 * <p>The final value is the mean of the last quarter of the readings. They have settled if the
 * whole of that quarter lies within the tolerance of it: a value that passes through its mean at
 * the very end has not.
 *
 * @param finalSpread mean and spread of the last quarter
 * @param settledSeconds the time of the first reading from which on all are within the tolerance;
 *     empty if they have not settled
 */
public record Settling(Spread finalSpread, OptionalDouble settledSeconds) {

  /**
   * Looks for it.
   *
   * @param seconds rising
   * @param values as many, at least 4
   * @param tolerance largest distance from the final mean, in the unit of the values
   */
  public static Settling of(double[] seconds, double[] values, double tolerance) {
    Require.samples(seconds, 4);
    Require.samples(values, 4);
    Require.sameLength(seconds, values);
    Require.positive("tolerance", tolerance);
    int quarter = values.length - values.length / 4;
    Spread end = Spread.of(Arrays.copyOfRange(values, quarter, values.length));
    int first = values.length;
    while (first > 0 && Math.abs(values[first - 1] - end.mean()) <= tolerance) {
      first--;
    }
    return new Settling(
        end, first <= quarter ? OptionalDouble.of(seconds[first]) : OptionalDouble.empty());
  }
}
