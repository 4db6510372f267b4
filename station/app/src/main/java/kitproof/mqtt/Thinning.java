package kitproof.mqtt;

import java.math.BigDecimal;
import java.math.MathContext;
import kitproof.value.Curve;

/** Fewer points of a curve, evenly taken, its ends kept. */
final class Thinning {
  private static final MathContext X_DIGITS = new MathContext(9);
  private static final MathContext Y_DIGITS = new MathContext(6);

  private Thinning() {}

  /** With no more digits than a drawing shows, so that it takes half the room as text. */
  static Curve rounded(Curve curve) {
    double[] x = curve.xs();
    double[] y = curve.ys();
    for (int i = 0; i < x.length; i++) {
      x[i] = BigDecimal.valueOf(x[i]).round(X_DIGITS).doubleValue();
      y[i] = BigDecimal.valueOf(y[i]).round(Y_DIGITS).doubleValue();
    }
    return Curve.of(curve.xUnit(), x, curve.yUnit(), y);
  }

  /**
   * Every n-th point, at least two.
   *
   * @param points how many to keep; the curve has more
   */
  static Curve of(Curve curve, int points) {
    double[] x = new double[points];
    double[] y = new double[points];
    for (int i = 0; i < points; i++) {
      int from = (int) Math.round((double) i * (curve.size() - 1) / (points - 1));
      x[i] = curve.x(from);
      y[i] = curve.y(from);
    }
    return Curve.of(curve.xUnit(), x, curve.yUnit(), y);
  }
}
