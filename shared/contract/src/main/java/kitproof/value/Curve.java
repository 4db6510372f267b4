package kitproof.value;

import java.util.Arrays;

/**
 * A figure against another: level against frequency, volts against time.
 *
 * <p>A value: arrays are copied in and out; x rises strictly; every number is finite.
 */
public final class Curve {
  private final Unit xUnit;
  private final Unit yUnit;
  private final double[] x;
  private final double[] y;

  private Curve(Unit xUnit, double[] x, Unit yUnit, double[] y) {
    this.xUnit = xUnit;
    this.yUnit = yUnit;
    this.x = x;
    this.y = y;
  }

  /**
   * Copies the given points.
   *
   * @throws IllegalArgumentException if lengths differ, x does not rise strictly, or a number is
   *     not finite
   */
  public static Curve of(Unit xUnit, double[] x, Unit yUnit, double[] y) {
    if (x.length != y.length) {
      throw new IllegalArgumentException(x.length + " x and " + y.length + " y");
    }
    for (int i = 0; i < x.length; i++) {
      if (!Double.isFinite(x[i]) || !Double.isFinite(y[i])) {
        throw new IllegalArgumentException("point " + i + " is not finite: " + x[i] + ", " + y[i]);
      }
      if (i > 0 && x[i] <= x[i - 1]) {
        throw new IllegalArgumentException("x does not rise at point " + i);
      }
    }
    return new Curve(xUnit, x.clone(), yUnit, y.clone());
  }

  public Unit xUnit() {
    return xUnit;
  }

  public Unit yUnit() {
    return yUnit;
  }

  /** Number of points. */
  public int size() {
    return x.length;
  }

  public double x(int index) {
    return x[index];
  }

  public double y(int index) {
    return y[index];
  }

  /** A copy of all x in {@link #xUnit()}. */
  public double[] xs() {
    return x.clone();
  }

  /** A copy of all y in {@link #yUnit()}. */
  public double[] ys() {
    return y.clone();
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Curve that
        && xUnit == that.xUnit
        && yUnit == that.yUnit
        && Arrays.equals(x, that.x)
        && Arrays.equals(y, that.y);
  }

  @Override
  public int hashCode() {
    return 31 * Arrays.hashCode(x) + Arrays.hashCode(y);
  }

  @Override
  public String toString() {
    return "Curve[" + size() + " points, " + yUnit + " against " + xUnit + "]";
  }
}
