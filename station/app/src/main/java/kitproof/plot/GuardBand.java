package kitproof.plot;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.Function;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.uncertainty.Coverage;
import kitproof.value.Curve;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Where the guard bands of a curve end inside its mask: the mask less the one-sided expanded
 * uncertainty of each point, as the curve was judged.
 */
final class GuardBand {
  private GuardBand() {}

  /** Its edges, none if it was not judged so. */
  static List<Curve> of(Curve curve, @Nullable Uncertainty uncertainty, Judgement judgement) {
    Judgement.Guard guard = judgement.guard();
    if (guard == null || uncertainty == null || !(judgement.limit() instanceof Limit.Mask mask)) {
      return List.of();
    }
    List<Curve> edges = new ArrayList<>();
    edge(curve, mask, Limit.Point::low, i -> guard(guard, uncertainty, i) * uncertainty.below(i))
        .forEach(edges::add);
    edge(curve, mask, Limit.Point::high, i -> -guard(guard, uncertainty, i) * uncertainty.above(i))
        .forEach(edges::add);
    return edges;
  }

  private static double guard(Judgement.Guard guard, Uncertainty uncertainty, int point) {
    return Coverage.oneSided(guard.required(), uncertainty.degreesOfFreedom(point));
  }

  /** One side, in as many pieces as the mask has. */
  private static List<Curve> edge(
      Curve curve,
      Limit.Mask mask,
      Function<Limit.Point, @Nullable Quantity> side,
      Function<Integer, Double> inward) {
    List<Curve> pieces = new ArrayList<>();
    double[] x = new double[curve.size()];
    double[] y = new double[curve.size()];
    int count = 0;
    for (int i = 0; i <= curve.size(); i++) {
      Double limit = i < curve.size() ? limit(mask, side, curve.x(i), curve.xUnit()) : null;
      if (limit != null) {
        x[count] = curve.x(i);
        y[count] = limit + inward.apply(i);
        count++;
      } else if (count > 0) {
        pieces.add(
            Curve.of(
                curve.xUnit(), Arrays.copyOf(x, count), curve.yUnit(), Arrays.copyOf(y, count)));
        count = 0;
      }
    }
    return pieces;
  }

  private static @Nullable Double limit(
      Limit.Mask mask, Function<Limit.Point, @Nullable Quantity> side, double x, Unit along) {
    boolean logarithmic = along == Unit.HERTZ || along == Unit.WATT;
    for (int i = 1; i < mask.points().size(); i++) {
      Limit.Point from = mask.points().get(i - 1);
      Limit.Point to = mask.points().get(i);
      Quantity start = side.apply(from);
      Quantity end = side.apply(to);
      double x0 = from.at().value();
      double x1 = to.at().value();
      if (start != null && end != null && x >= x0 && x <= x1) {
        double part = logarithmic ? Math.log(x / x0) / Math.log(x1 / x0) : (x - x0) / (x1 - x0);
        return start.value() + part * (end.value() - start.value());
      }
    }
    return null;
  }
}
