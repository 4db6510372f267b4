package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import kitproof.signal.Levels;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Turns what was found into the results that a step has promised, in the order of the promises. */
final class Promised {
  /** Decibels of nothing at all are told as this many. */
  private static final double LEAST_DB = -200;

  private Promised() {}

  /**
   * The results of one channel.
   *
   * @param heard with its trouble if it cannot be used
   * @param figures what it shows, a figure for each promise; an {@link IllegalArgumentException} is
   *     its trouble
   */
  static <T extends HeardProcedure.Heard> List<Measurement> results(
      List<Outline.Promise> promises, T heard, Function<T, List<Figure>> figures) {
    String trouble = heard.trouble();
    List<Figure> found = List.of();
    if (trouble.isEmpty()) {
      try {
        found = figures.apply(heard);
      } catch (IllegalArgumentException e) {
        trouble = String.valueOf(e.getMessage());
      }
    }
    if (trouble.isEmpty() && found.size() != promises.size()) {
      throw new IllegalStateException(found.size() + " figures for " + promises.size());
    }
    List<Measurement> results = new ArrayList<>();
    for (int i = 0; i < promises.size(); i++) {
      Conditions conditions = heard.channel().conditions().and(promises.get(i).more());
      Figure figure = trouble.isEmpty() ? found.get(i) : new Figure.Invalid(trouble);
      results.add(new Measurement(promises.get(i).name(), conditions, figure));
    }
    return results;
  }

  static Figure figure(double value, Unit unit) {
    return new Figure.OfQuantity(Quantity.of(value, unit));
  }

  static Figure percent(double ratio) {
    return figure(100 * ratio, Unit.PERCENT);
  }

  /** Decibels of a ratio, or dBV of volts; nothing at all is a floor far below any noise. */
  static double decibels(double ratio) {
    return Math.max(LEAST_DB, Levels.db(ratio));
  }

  /** The curve with its values in decibels over a reference. */
  static Figure decibels(Curve curve, double reference, Unit unit) {
    double[] db = curve.ys();
    for (int i = 0; i < db.length; i++) {
      db[i] = decibels(db[i] / reference);
    }
    return new Figure.OfCurve(Curve.of(curve.xUnit(), curve.xs(), unit, db));
  }
}
