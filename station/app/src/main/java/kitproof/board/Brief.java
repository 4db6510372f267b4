package kitproof.board;

import java.util.Arrays;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * The results of one run in about fifteen bytes each, so that a page across a batch of many
 * thousand units needs none of their messages. Values have the seven digits of a float.
 */
final class Brief {
  private static final Judgement.Outcome[] OUTCOMES = Judgement.Outcome.values();

  private short[] kinds = new short[0];
  private float[] lows = new float[0];
  private float[] highs = new float[0];
  private byte[] outcomes = new byte[0];
  private int size;

  /**
   * One result.
   *
   * @param low the value, or the least of a curve; not a number if it is not valid
   * @param high the value, or the greatest of a curve
   */
  record Result(ResultKind kind, float low, float high, Judgement.Outcome outcome) {
    /** What is beyond a float, which no bench measures, is not valid. */
    Result {
      if (!Float.isFinite(low) || !Float.isFinite(high)) {
        low = Float.NaN;
        high = Float.NaN;
      }
    }

    static Result of(Told.Held held) {
      Figure figure = held.measurement().figure();
      Limit limit = held.judgement().limit();
      double low = Double.NaN;
      double high = Double.NaN;
      Unit unit = Unit.ONE;
      if (figure instanceof Figure.OfQuantity of) {
        low = of.quantity().value();
        high = low;
        unit = of.quantity().unit();
      } else if (figure instanceof Figure.OfCurve of && of.curve().size() > 0) {
        double[] y = of.curve().ys();
        low = Arrays.stream(y).min().orElse(Double.NaN);
        high = Arrays.stream(y).max().orElse(Double.NaN);
        unit = of.curve().yUnit();
      }
      return new Result(
          kind(
              held.measurement().name(),
              AgainstUnit.told(held.measurement()),
              unit,
              figure instanceof Figure.OfCurve,
              limit),
          (float) low,
          (float) high,
          held.judgement().outcome());
    }

    static ResultKind kind(
        String name, Conditions conditions, Unit unit, boolean curve, @Nullable Limit limit) {
      Limit.Scalar scalar = limit instanceof Limit.Scalar s ? s : new Limit.Scalar(null, null);
      return new ResultKind(
          name,
          conditions,
          unit,
          curve,
          ResultViews.limit(limit),
          ResultViews.number(scalar.low()),
          ResultViews.number(scalar.high()));
    }
  }

  /** Adds one, unless there is no room for its kind. */
  void add(Result result, ResultKinds known) {
    int kind = known.number(result.kind);
    if (kind < 0) {
      return;
    }
    if (size == kinds.length) {
      grow(Math.max(8, size * 2));
    }
    kinds[size] = (short) kind;
    lows[size] = result.low;
    highs[size] = result.high;
    outcomes[size] = (byte) Arrays.asList(OUTCOMES).indexOf(result.outcome);
    size++;
  }

  private void grow(int to) {
    kinds = Arrays.copyOf(kinds, to);
    lows = Arrays.copyOf(lows, to);
    highs = Arrays.copyOf(highs, to);
    outcomes = Arrays.copyOf(outcomes, to);
  }

  /** No more will come. */
  Brief trimmed() {
    grow(size);
    return this;
  }

  int size() {
    return size;
  }

  /** Roughly what it takes of memory. */
  int bytes() {
    return 120 + 11 * kinds.length;
  }

  int kind(int place) {
    return kinds[place];
  }

  Judgement.Outcome outcome(int place) {
    return OUTCOMES[outcomes[place]];
  }

  /** The value, or the least of a curve; not a number if it is not valid. */
  double low(int place) {
    return decimal(lows[place]);
  }

  /** In words. */
  String shown(int place, ResultKind kind) {
    if (Float.isNaN(lows[place])) {
      return kind.curve() ? "empty curve" : "not valid";
    }
    return kind.curve()
        ? Quantity.of(low(place), kind.unit()).display(3)
            + " to "
            + Quantity.of(decimal(highs[place]), kind.unit()).display(3)
        : Quantity.of(low(place), kind.unit()).display();
  }

  /** The shortest decimal number that this float is nearest to, not its binary tail. */
  private static double decimal(float value) {
    return Double.parseDouble(Float.toString(value));
  }
}
