package kitproof.procedure;

import java.util.List;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/**
 * How well a difference of two results is known: as if the two were independent. What they have in
 * common, such as a full scale, cancels in truth, so that this is rather too much than too little.
 */
final class DifferenceTrust {
  private DifferenceTrust() {}

  static Measurement of(Measurement difference, Measurement first, Measurement other) {
    Uncertainty one = first.uncertainty();
    Uncertainty two = other.uncertainty();
    return one == null || two == null
        ? difference
        : Budgeted.on(difference, value -> lines(one, 0, two, 0, value.unit()));
  }

  /** Of the points of the first; the other's nearest point counts. */
  static Measurement ofCurve(Measurement difference, Measurement first, Measurement other) {
    Uncertainty one = first.uncertainty();
    Uncertainty two = other.uncertainty();
    if (one == null
        || two == null
        || !(difference.figure() instanceof Figure.OfCurve of)
        || !(first.figure() instanceof Figure.OfCurve a)
        || !(other.figure() instanceof Figure.OfCurve b)) {
      return difference;
    }
    Curve curve = of.curve();
    return Budgeted.onCurve(
        difference,
        i ->
            lines(
                one,
                nearest(a.curve(), curve.x(i)),
                two,
                nearest(b.curve(), curve.x(i)),
                curve.yUnit()));
  }

  /** The worst of a curve of differences, as that point of it is known. */
  static Measurement worst(Measurement worst, Measurement differences) {
    Uncertainty known = differences.uncertainty();
    if (known == null
        || !(worst.figure() instanceof Figure.OfQuantity of)
        || !(differences.figure() instanceof Figure.OfCurve curve)) {
      return worst;
    }
    int at = 0;
    for (int i = 1; i < curve.curve().size(); i++) {
      boolean nearer =
          Math.abs(curve.curve().y(i) - of.quantity().value())
              < Math.abs(curve.curve().y(at) - of.quantity().value());
      at = nearer ? i : at;
    }
    int found = at;
    return Budgeted.on(
        worst,
        value ->
            Budgeted.of(
                List.of(
                    line(
                        "the difference there, below",
                        known.below(found),
                        known.degreesOfFreedom(found),
                        Side.BELOW,
                        1,
                        value.unit()),
                    line(
                        "the difference there, above",
                        known.above(found),
                        known.degreesOfFreedom(found),
                        Side.ABOVE,
                        1,
                        value.unit()))));
  }

  private static int nearest(Curve curve, double x) {
    int nearest = 0;
    for (int i = 1; i < curve.size(); i++) {
      nearest = Math.abs(curve.x(i) - x) < Math.abs(curve.x(nearest) - x) ? i : nearest;
    }
    return nearest;
  }

  private static Budgeted lines(Uncertainty one, int i, Uncertainty two, int j, Unit unit) {
    return Budgeted.of(
        List.of(
            line("the first, below", one.below(i), one.degreesOfFreedom(i), Side.BELOW, 1, unit),
            line("the first, above", one.above(i), one.degreesOfFreedom(i), Side.ABOVE, 1, unit),
            line("the other, below", two.below(j), two.degreesOfFreedom(j), Side.BELOW, -1, unit),
            line("the other, above", two.above(j), two.degreesOfFreedom(j), Side.ABOVE, -1, unit)));
  }

  private static Contribution line(
      String name, double standard, double degrees, Side side, double sign, Unit unit) {
    return new Contribution(
        name, Evaluation.TYPE_B, Distribution.NORMAL, side, standard, unit, sign, degrees);
  }
}
