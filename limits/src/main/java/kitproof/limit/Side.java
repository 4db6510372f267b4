package kitproof.limit;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** The side of its limit that a result lies beyond. */
public enum Side {
  LOW,
  HIGH;

  /**
   * The sides that a result lies beyond; none if it is good, invalid, or has no limit it can be
   * compared with. A curve may lie beyond both.
   */
  public static Set<Side> beyond(Measurement measurement, @Nullable Limit limit) {
    Set<Side> sides = EnumSet.noneOf(Side.class);
    if (measurement.figure() instanceof Figure.OfQuantity one
        && limit instanceof Limit.Scalar scalar) {
      add(sides, one.quantity(), scalar);
    } else if (measurement.figure() instanceof Figure.OfCurve curve
        && limit instanceof Limit.Mask mask) {
      add(sides, curve.curve(), mask);
    }
    return sides;
  }

  private static void add(Set<Side> sides, Quantity value, Limit.Scalar limit) {
    Quantity low = limit.low();
    Quantity high = limit.high();
    if (low != null && low.unit() == value.unit() && value.compareTo(low) < 0) {
      sides.add(LOW);
    }
    if (high != null && high.unit() == value.unit() && value.compareTo(high) > 0) {
      sides.add(HIGH);
    }
  }

  private static void add(Set<Side> sides, Curve curve, Limit.Mask mask) {
    for (Side side : values()) {
      List<Limit.Point> points = new ArrayList<>();
      for (Limit.Point point : mask.points()) {
        if ((side == LOW ? point.low() : point.high()) != null) {
          points.add(
              new Limit.Point(
                  point.at(), side == LOW ? point.low() : null, side == LOW ? null : point.high()));
        }
      }
      if (!points.isEmpty() && MaskJudge.outside(curve, new Limit.Mask(points)).isPresent()) {
        sides.add(side);
      }
    }
  }
}
