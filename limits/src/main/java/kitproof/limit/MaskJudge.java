package kitproof.limit;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import kitproof.limit.Judgement.Outcome;
import kitproof.value.Curve;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Compares a curve with a mask.
 *
 * <p>Both are straight lines between their points, on a logarithmic axis where x is a frequency or
 * a power. Their distance is therefore greatest at a point of the one or the other, and it is
 * enough to look there. A side of the mask holds between two corners that both have it, and at a
 * corner that has it.
 *
 * <p>With guarded acceptance each point of the curve has a guard band of its own; at a corner
 * between two points the wider one holds.
 */
final class MaskJudge {
  /** Curves that come out of a computation may end a hair before the frequency that was asked. */
  private static final double HAIR = 1e-9;

  private final Curve curve;
  private final List<Limit.Point> corners;
  private final DoubleUnaryOperator axis;
  private final Acceptance acceptance;
  private final @Nullable Uncertainty uncertainty;

  /** What is farthest outside the mask itself, or nearest to it. */
  private @Nullable Place worst;

  /** What is farthest outside the mask less its guard band, or nearest to that. */
  private @Nullable Place worstGuarded;

  /**
   * How a value stands to one side of the mask.
   *
   * @param outside how far it is outside; negative inside
   * @param guard how wide the guard band is there
   * @param point the point of the curve that is nearest
   */
  private record Place(
      double x, double y, double limit, boolean low, double outside, double guard, int point) {}

  private MaskJudge(
      Curve curve, Limit.Mask mask, Acceptance acceptance, @Nullable Uncertainty uncertainty) {
    this.acceptance = acceptance;
    this.uncertainty = uncertainty;
    this.curve = curve;
    this.corners = mask.points();
    this.axis = isLogarithmic(curve.xUnit()) ? Math::log : DoubleUnaryOperator.identity();
  }

  /** Whether masks along this unit are judged on a logarithmic axis. */
  static boolean isLogarithmic(Unit along) {
    return along == Unit.HERTZ || along == Unit.WATT;
  }

  static Judgement judge(
      Curve curve, Limit.Mask mask, Acceptance acceptance, @Nullable Uncertainty uncertainty) {
    MaskJudge judge = new MaskJudge(curve, mask, acceptance, uncertainty);
    String unfit = judge.unfit();
    if (unfit != null) {
      return Judge.unfit(mask, unfit);
    }
    judge.look();
    String incomplete = judge.incomplete();
    // What is outside already stays so, however much of the curve is missing.
    return incomplete == null || judge.isOutside()
        ? judge.judgement(mask)
        : Judge.unfit(mask, incomplete);
  }

  /** What is wrong with a part of a curve, as far as it goes; empty if nothing is. */
  static Optional<Judgement> outside(Curve part, Limit.Mask mask) {
    MaskJudge judge = new MaskJudge(part, mask, Acceptance.SIMPLE, null);
    if (judge.unfit() != null) {
      return Optional.empty();
    }
    judge.look();
    return judge.isOutside() ? Optional.of(judge.judgement(mask)) : Optional.empty();
  }

  private void look() {
    lookAtCorners();
    lookAtCurve();
  }

  private boolean isOutside() {
    return worst != null && worst.outside > 0;
  }

  private @Nullable String unfit() {
    Limit.Point first = corners.get(0);
    Quantity side = first.low() != null ? first.low() : first.high();
    if (curve.xUnit() != first.at().unit()) {
      return "along the curve " + Say.otherUnit(first.at().unit(), curve.xUnit());
    }
    if (side == null || curve.yUnit() != side.unit()) {
      return Say.otherUnit(side == null ? Unit.ONE : side.unit(), curve.yUnit());
    }
    return curve.size() == 0 ? "the curve has no points" : null;
  }

  private @Nullable String incomplete() {
    Limit.Point first = corners.get(0);
    Limit.Point last = corners.get(corners.size() - 1);
    Quantity begin = Quantity.of(curve.x(0), curve.xUnit());
    Quantity end = Quantity.of(curve.x(curve.size() - 1), curve.xUnit());
    if (begin.value() > first.at().value() + hair(first.at())) {
      return "the curve begins at " + Say.compared(begin, "after the mask's", first.at());
    }
    if (end.value() < last.at().value() - hair(last.at())) {
      return "the curve ends at " + Say.compared(end, "before the mask's", last.at());
    }
    return null;
  }

  private static double hair(Quantity at) {
    return HAIR * Math.abs(at.value());
  }

  private void lookAtCorners() {
    int i = 0;
    for (Limit.Point corner : corners) {
      double slack = hair(corner.at());
      if (corner.at().value() < curve.x(0) - slack
          || corner.at().value() > curve.x(curve.size() - 1) + slack) {
        continue;
      }
      double x = Math.min(Math.max(corner.at().value(), curve.x(0)), curve.x(curve.size() - 1));
      while (i + 2 < curve.size() && curve.x(i + 1) < x) {
        i++;
      }
      int next = Math.min(i + 1, curve.size() - 1);
      double y = between(curve.x(i), curve.y(i), curve.x(next), curve.y(next), x);
      look(x, y, corner.low(), true, i, next);
      look(x, y, corner.high(), false, i, next);
    }
  }

  private void lookAtCurve() {
    int i = 0;
    for (int p = 0; p < curve.size(); p++) {
      double x = curve.x(p);
      while (i + 1 < corners.size() && corners.get(i + 1).at().value() < x) {
        i++;
      }
      if (x <= corners.get(0).at().value() || i + 1 == corners.size()) {
        continue; // before the mask or past it
      }
      Limit.Point left = corners.get(i);
      Limit.Point right = corners.get(i + 1);
      look(x, curve.y(p), line(left, left.low(), right, right.low(), x), true, p, p);
      look(x, curve.y(p), line(left, left.high(), right, right.high(), x), false, p, p);
    }
  }

  private @Nullable Quantity line(
      Limit.Point left,
      @Nullable Quantity from,
      Limit.Point right,
      @Nullable Quantity to,
      double x) {
    return from == null || to == null
        ? null
        : Quantity.of(
            between(left.at().value(), from.value(), right.at().value(), to.value(), x),
            from.unit());
  }

  private double between(double x0, double y0, double x1, double y1, double x) {
    if (y0 == y1 || x <= x0) {
      return y0;
    }
    if (x >= x1) {
      return y1;
    }
    double start = axis.applyAsDouble(x0);
    return y0 + (y1 - y0) * (axis.applyAsDouble(x) - start) / (axis.applyAsDouble(x1) - start);
  }

  /** Looks at a value that lies at a point of the curve, or between two neighbours. */
  private void look(double x, double y, @Nullable Quantity limit, boolean low, int one, int next) {
    if (limit == null) {
      return;
    }
    double outside = low ? limit.value() - y : y - limit.value();
    int point = guard(one, low) >= guard(next, low) ? one : next;
    Place place = new Place(x, y, limit.value(), low, outside, guard(point, low), point);
    if (worst == null || outside > worst.outside) {
      worst = place;
    }
    if (worstGuarded == null || outside + place.guard > worstGuarded.outside + worstGuarded.guard) {
      worstGuarded = place;
    }
  }

  private double guard(int point, boolean low) {
    return low ? acceptance.aboveLow(uncertainty, point) : acceptance.belowHigh(uncertainty, point);
  }

  private Judgement judgement(Limit.Mask mask) {
    Place place = Objects.requireNonNull(worst, "every corner has a side");
    if (place.outside > 0) {
      String relation = place.low ? "is below" : "is above";
      String detail =
          at(place)
              + Say.compared(value(place), relation, limit(place))
              + ", worst by "
              + by(place.outside);
      return new Judgement(Outcome.FAIL, mask, detail, guard(place));
    }
    if (!acceptance.isGuarded()) {
      return new Judgement(Outcome.PASS, mask, nearest(place));
    }
    Place guarded = Objects.requireNonNull(worstGuarded, "every corner has a side");
    Judgement.Guard guard = Objects.requireNonNull(guard(guarded), "guarded");
    if (guarded.outside + guarded.guard > 0) {
      String side = guarded.low ? "above" : "below";
      String detail =
          at(guarded)
              + Say.guarded(
                  value(guarded), limit(guarded), guarded.guard, side, guard.conformance());
      return new Judgement(Outcome.GUARD_BAND, mask, detail, guard);
    }
    return new Judgement(Outcome.PASS, mask, nearest(guarded), guard);
  }

  private String nearest(Place place) {
    return "nearest "
        + at(place).strip()
        + ", "
        + by(place.outside)
        + (place.low ? " above the low side" : " below the high side");
  }

  private String at(Place place) {
    return "at " + Quantity.of(place.x, curve.xUnit()).display() + " ";
  }

  private String by(double distance) {
    return Quantity.of(Math.abs(distance), curve.yUnit()).display();
  }

  private Quantity value(Place place) {
    return Quantity.of(place.y, curve.yUnit());
  }

  private Quantity limit(Place place) {
    return Quantity.of(place.limit, curve.yUnit());
  }

  /** Of the side that decided; the other one of a mask is taken as far away. */
  private Judgement.@Nullable Guard guard(Place place) {
    if (!acceptance.isGuarded() || uncertainty == null) {
      return null;
    }
    double low = place.low ? place.limit : Double.NEGATIVE_INFINITY;
    double high = place.low ? Double.POSITIVE_INFINITY : place.limit;
    return new Judgement.Guard(
        place.low ? place.guard : 0,
        place.low ? 0 : place.guard,
        Acceptance.conformance(place.y, low, high, uncertainty, place.point),
        acceptance.conformance());
  }
}
