package kitproof.procedure;

import kitproof.signal.ResponseFigures;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * One result less another of its kind.
 *
 * <p>Curves are compared where both are known, at the first one's points; the other is read on the
 * straight line between its points, over a logarithmic axis if both are against frequency.
 */
public final class Difference {
  private final @Nullable Curve curve;
  private final Quantity worst;
  private final double worstAt;

  private Difference(@Nullable Curve curve, Quantity worst, double worstAt) {
    this.curve = curve;
    this.worst = worst;
    this.worstAt = worstAt;
  }

  /**
   * Compares.
   *
   * @throws IllegalArgumentException if one is a curve and the other not, units differ, one is
   *     invalid, or the curves have no stretch in common
   */
  public static Difference of(Figure first, Figure other) {
    if (first instanceof Figure.OfQuantity a && other instanceof Figure.OfQuantity b) {
      requireSame(a.quantity().unit(), b.quantity().unit());
      double value = a.quantity().value() - b.quantity().value();
      return new Difference(null, Quantity.of(value, a.quantity().unit()), Double.NaN);
    }
    if (first instanceof Figure.OfCurve a && other instanceof Figure.OfCurve b) {
      return of(a.curve(), b.curve());
    }
    if (first instanceof Figure.Invalid || other instanceof Figure.Invalid) {
      throw new IllegalArgumentException("one of the two is invalid");
    }
    throw new IllegalArgumentException("a curve cannot be compared with a figure");
  }

  private static Difference of(Curve a, Curve b) {
    requireSame(a.xUnit(), b.xUnit());
    requireSame(a.yUnit(), b.yUnit());
    int from = 0;
    while (from < a.size() && b.size() > 0 && a.x(from) < b.x(0)) {
      from++;
    }
    int to = from;
    while (to < a.size() && b.size() > 0 && a.x(to) <= b.x(b.size() - 1)) {
      to++;
    }
    if (from == to) {
      throw new IllegalArgumentException("the two curves have no stretch in common");
    }
    double[] x = new double[to - from];
    double[] y = new double[to - from];
    int worst = 0;
    for (int i = 0; i < x.length; i++) {
      x[i] = a.x(from + i);
      y[i] = a.y(from + i) - between(b, x[i]);
      worst = Math.abs(y[i]) > Math.abs(y[worst]) ? i : worst;
    }
    return new Difference(
        Curve.of(a.xUnit(), x, a.yUnit(), y), Quantity.of(y[worst], a.yUnit()), x[worst]);
  }

  private static double between(Curve curve, double x) {
    if (curve.xUnit() == Unit.HERTZ && curve.x(0) > 0) {
      return ResponseFigures.levelDb(curve, x);
    }
    int above = 0;
    while (curve.x(above) < x) {
      above++;
    }
    if (curve.x(above) == x) {
      return curve.y(above);
    }
    double part = (x - curve.x(above - 1)) / (curve.x(above) - curve.x(above - 1));
    return curve.y(above - 1) + part * (curve.y(above) - curve.y(above - 1));
  }

  private static void requireSame(Unit a, Unit b) {
    if (a != b) {
      throw new IllegalArgumentException(
          "results in " + a.symbol() + " and in " + b.symbol() + " cannot be compared");
    }
  }

  /** Whether two curves were compared. */
  public boolean isCurve() {
    return curve != null;
  }

  /**
   * The curve of differences.
   *
   * @throws IllegalStateException if two figures were compared
   */
  public Curve asCurve() {
    if (curve == null) {
      throw new IllegalStateException("two figures have no curve");
    }
    return curve;
  }

  /** The difference of two figures; of two curves that of the largest magnitude, with its sign. */
  public Quantity worst() {
    return worst;
  }

  /** Where the worst of two curves is, in the unit of x; not a number for two figures. */
  public double worstAt() {
    return worstAt;
  }
}
