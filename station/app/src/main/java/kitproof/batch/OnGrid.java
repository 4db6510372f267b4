package kitproof.batch;

import java.util.Arrays;
import kitproof.value.Curve;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Curves of different units at the same places. */
final class OnGrid {
  private OnGrid() {}

  /**
   * A curve's values at rising places within it, on straight lines between its points, along a
   * logarithmic axis where x is a frequency.
   */
  static double[] values(Curve curve, double[] places) {
    boolean logarithmic = curve.xUnit() == Unit.HERTZ && curve.x(0) > 0;
    double[] values = new double[places.length];
    int i = 0;
    for (int p = 0; p < places.length; p++) {
      while (i + 2 < curve.size() && curve.x(i + 1) < places[p]) {
        i++;
      }
      int next = Math.min(i + 1, curve.size() - 1);
      values[p] =
          between(
              axis(curve.x(i), logarithmic),
              curve.y(i),
              axis(curve.x(next), logarithmic),
              curve.y(next),
              axis(places[p], logarithmic));
    }
    return values;
  }

  private static double axis(double x, boolean logarithmic) {
    return logarithmic ? Math.log(x) : x;
  }

  private static double between(double x0, double y0, double x1, double y1, double x) {
    if (x <= x0) {
      return y0;
    }
    return x >= x1 ? y1 : y0 + (y1 - y0) * (x - x0) / (x1 - x0);
  }

  /** The points of the first curve that all curves reach; empty if there are none. */
  static double[] shared(Iterable<Curve> curves) {
    double low = Double.NEGATIVE_INFINITY;
    double high = Double.POSITIVE_INFINITY;
    double @Nullable [] first = null;
    for (Curve curve : curves) {
      if (curve.size() == 0) {
        return new double[0];
      }
      low = Math.max(low, curve.x(0));
      high = Math.min(high, curve.x(curve.size() - 1));
      first = first == null ? curve.xs() : first;
    }
    double from = low;
    double to = high;
    return first == null
        ? new double[0]
        : Arrays.stream(first).filter(x -> x >= from && x <= to).toArray();
  }
}
