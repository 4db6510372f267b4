package kitproof.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import kitproof.limit.Limit;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * One stretch of a mask between two corners, as lines to draw.
 *
 * <p>Between corners a mask is a straight line on a logarithmic frequency axis, which another axis
 * shows as a bow: it is drawn through many points.
 *
 * @param low points of the low side, or empty if there is none here
 * @param high points of the high side, or empty likewise
 */
record Band(List<Point> low, List<Point> high) {
  private static final int PIECES = 24;

  /** A place in the units of the curve. */
  record Point(double x, double y) {}

  static List<Band> of(Limit.Mask mask) {
    List<Band> bands = new ArrayList<>();
    for (int i = 1; i < mask.points().size(); i++) {
      Limit.Point from = mask.points().get(i - 1);
      Limit.Point to = mask.points().get(i);
      List<Point> low = side(from, to, Limit.Point::low);
      List<Point> high = side(from, to, Limit.Point::high);
      if (!low.isEmpty() || !high.isEmpty()) {
        bands.add(new Band(low, high));
      }
    }
    return bands;
  }

  private static List<Point> side(
      Limit.Point from, Limit.Point to, Function<Limit.Point, @Nullable Quantity> side) {
    Quantity start = side.apply(from);
    Quantity end = side.apply(to);
    if (start == null || end == null) {
      return List.of();
    }
    boolean logarithmic = from.at().unit() == Unit.HERTZ || from.at().unit() == Unit.WATT;
    List<Point> points = new ArrayList<>();
    for (int i = 0; i <= PIECES; i++) {
      double part = (double) i / PIECES;
      double x0 = from.at().value();
      double x1 = to.at().value();
      double x = logarithmic ? x0 * Math.pow(x1 / x0, part) : x0 + part * (x1 - x0);
      points.add(new Point(x, start.value() + part * (end.value() - start.value())));
    }
    return points;
  }

  /** From where to where along x. */
  List<Point> either() {
    return low.isEmpty() ? high : low;
  }
}
