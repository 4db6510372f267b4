package kitproof.board;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.report.PlusMinus;
import kitproof.value.AgainstUnit;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Says results in words, and curves in numbers. */
final class ResultViews {
  private ResultViews() {}

  static ResultView of(Told.Held held) {
    Figure figure = held.measurement().figure();
    return new ResultView(
        held.step(),
        held.measurement().name(),
        AgainstUnit.told(held.measurement()).toString(),
        held.judgement().outcome().toString(),
        value(figure),
        PlusMinus.withFactor(held.measurement()),
        limit(held.judgement().limit()),
        figure instanceof Figure.OfQuantity of ? guard(held.judgement(), of.quantity().unit()) : "",
        held.judgement().detail(),
        held.measurement().note(),
        figure instanceof Figure.OfCurve of ? curve(held, of.curve()) : null);
  }

  /** Without steps, reasons and curves. */
  static List<ResultView> of(Brief brief, ResultKinds kinds) {
    List<ResultView> results = new ArrayList<>();
    for (int i = 0; i < brief.size(); i++) {
      ResultKind kind = kinds.get(brief.kind(i));
      results.add(
          new ResultView(
              "",
              kind.name(),
              kind.conditions().toString(),
              brief.outcome(i).toString(),
              brief.shown(i, kind),
              "",
              kind.limit(),
              "",
              "",
              "",
              null));
    }
    return results;
  }

  private static String value(Figure figure) {
    if (figure instanceof Figure.OfQuantity of) {
      return of.quantity().display();
    }
    if (figure instanceof Figure.Invalid invalid) {
      return "not valid: " + invalid.reason();
    }
    Curve curve = ((Figure.OfCurve) figure).curve();
    if (curve.size() == 0) {
      return "empty curve";
    }
    double[] y = curve.ys();
    Arrays.sort(y);
    return Quantity.of(y[0], curve.yUnit()).display(3)
        + " to "
        + Quantity.of(y[y.length - 1], curve.yUnit()).display(3);
  }

  /** "guard band 20 uV"; of two limits the wider one. */
  private static String guard(Judgement judgement, Unit unit) {
    Judgement.Guard guard = judgement.guard();
    double width = guard == null ? 0 : Math.max(guard.low(), guard.high());
    return width > 0 ? "guard band " + Quantity.of(width, unit).display(2) : "";
  }

  static String limit(@Nullable Limit limit) {
    if (limit instanceof Limit.Scalar scalar) {
      Quantity low = scalar.low();
      Quantity high = scalar.high();
      if (low != null && high != null) {
        return low.display() + " to " + high.display();
      }
      return low != null
          ? "at least " + low.display()
          : high != null ? "at most " + high.display() : "";
    }
    return limit instanceof Limit.Mask ? "mask" : "";
  }

  static ResultView.CurveView curve(Told.Held held, Curve curve) {
    List<ResultView.Corner> mask =
        held.judgement().limit() instanceof Limit.Mask of
            ? of.points().stream()
                .map(p -> new ResultView.Corner(p.at().value(), number(p.low()), number(p.high())))
                .toList()
            : List.of();
    Judgement.Guard guard = held.judgement().guard();
    return new ResultView.CurveView(
        curve.xUnit().symbol(),
        curve.yUnit().symbol(),
        Arrays.stream(curve.xs()).boxed().toList(),
        Arrays.stream(curve.ys()).boxed().toList(),
        mask,
        guard == null ? null : new ResultView.Guard(guard.low(), guard.high()),
        Math.max(held.points(), curve.size()));
  }

  static @Nullable Double number(@Nullable Quantity quantity) {
    return quantity == null ? null : quantity.value();
  }
}
