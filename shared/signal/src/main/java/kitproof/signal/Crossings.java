package kitproof.signal;

import java.util.OptionalDouble;

/** Interpolation on curves against a logarithmic axis, such as distortion against power. */
public final class Crossings {
  private Crossings() {}

  /**
   * Where a curve that has a minimum first rises through a level above that minimum, on a straight
   * line between its points over the logarithm of x.
   *
   * <p>What lies left of the minimum is not looked at: at low power distortion plus noise falls.
   *
   * @param x rising, above zero
   * @param y as many
   * @param level above zero
   * @return empty if the curve does not reach it, or lies above it throughout
   */
  public static OptionalDouble rising(double[] x, double[] y, double level) {
    Require.sameLength(x, y);
    Require.positive("level", level);
    int lowest = 0;
    for (int i = 1; i < y.length; i++) {
      lowest = y[i] < y[lowest] ? i : lowest;
    }
    for (int i = lowest; i + 1 < y.length; i++) {
      if (y[i] <= level && y[i + 1] >= level) {
        double part = y[i + 1] == y[i] ? 0 : (level - y[i]) / (y[i + 1] - y[i]);
        return OptionalDouble.of(x[i] * Math.pow(x[i + 1] / x[i], part));
      }
    }
    return OptionalDouble.empty();
  }

  /**
   * The curve's value at a place between its points, on a straight line over both logarithms.
   *
   * @param x rising, above zero
   * @param y as many, above zero
   * @param at above zero
   * @return empty outside the points
   */
  public static OptionalDouble at(double[] x, double[] y, double at) {
    Require.sameLength(x, y);
    Require.positive("place", at);
    for (int i = 0; i + 1 < x.length; i++) {
      if (x[i] <= at && at <= x[i + 1]) {
        double part = Math.log(at / x[i]) / Math.log(x[i + 1] / x[i]);
        return OptionalDouble.of(y[i] * Math.pow(y[i + 1] / y[i], part));
      }
    }
    return OptionalDouble.empty();
  }
}
