package kitproof.procedure;

import kitproof.value.Curve;

/** How steep a curve is where a figure is read off it. */
final class Slope {
  private Slope() {}

  /**
   * Between the two points around a place; at a point, between it and the next.
   *
   * @return change of y per change of x
   */
  static double of(Curve curve, double x) {
    return of(curve.xs(), curve.ys(), x);
  }

  /** The same of two rows of numbers, of which x rises. */
  static double of(double[] x, double[] y, double at) {
    int above = 1;
    while (above < x.length - 1 && x[above] <= at) {
      above++;
    }
    return (y[above] - y[above - 1]) / (x[above] - x[above - 1]);
  }
}
