package kitproof.peers;

import java.util.Arrays;
import kitproof.value.Curve;

/** Curves against time beside shapes of which all is known but when they began. */
final class Fits {
  private static final int FIRST = 400;
  private static final int FINE = 200;

  private Fits() {}

  /** What a shape has at a time of the curve, begun so much earlier. */
  interface Shape {
    double at(double seconds, double begun);
  }

  /**
   * How far a curve is from a shape, at the beginning that fits best.
   *
   * @param low where the beginning lies at least
   * @param high and at most
   * @param share of the points that are to be as near as that; 1 for all
   */
  static double off(Curve curve, double low, double high, double share, Shape shape) {
    double best = best(curve, low, high, FIRST, share, shape);
    double step = (high - low) / FIRST;
    double fine =
        best(curve, Math.max(low, best - step), Math.min(high, best + step), FINE, share, shape);
    return off(curve, fine, share, shape);
  }

  private static double best(
      Curve curve, double low, double high, int steps, double share, Shape shape) {
    double best = low;
    double least = Double.POSITIVE_INFINITY;
    for (int i = 0; i <= steps; i++) {
      double begun = low + (high - low) * i / steps;
      double off = off(curve, begun, share, shape);
      if (off < least) {
        least = off;
        best = begun;
      }
    }
    return best;
  }

  private static double off(Curve curve, double begun, double share, Shape shape) {
    double[] off = new double[curve.size()];
    Arrays.setAll(off, i -> Math.abs(curve.y(i) - shape.at(curve.x(i), begun)));
    Arrays.sort(off);
    return off[(int) Math.ceil(share * off.length) - 1];
  }
}
