package kitproof.limit;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.limit.Judgement.Outcome;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Judges measurements by a limit file, both ends of a limit included: by the value itself with
 * simple acceptance; with guarded acceptance a value must also be inside by as much as its own
 * uncertainty asks for, and is in the guard band where it is not.
 *
 * <p>Pure. Of several limits that apply the one with most conditions is taken. What cannot be
 * compared with its limit (no valid figure, a curve where a quantity is wanted, another unit, a
 * curve that ends before its mask, an uncertainty that is asked for and not known) fails with the
 * reason; it never passes.
 */
public final class Judge {
  /** Why a result of the past is left open that guarded acceptance cannot decide on. */
  public static final String NO_UNCERTAINTY =
      "cannot be judged under " + DecisionRule.GUARDED_ACCEPTANCE + ": no uncertainty";

  private final Map<String, List<LimitEntry>> byResult;
  private final Acceptance acceptance;

  private Judge(Map<String, List<LimitEntry>> byResult, Acceptance acceptance) {
    this.byResult = byResult;
    this.acceptance = acceptance;
  }

  public Judge(LimitFile file) {
    this(new HashMap<>(), file.acceptance());
    for (LimitEntry entry : file.entries()) {
      byResult.computeIfAbsent(entry.result(), name -> new ArrayList<>()).add(entry);
    }
    Comparator<LimitEntry> mostConditionsFirst =
        Comparator.comparingInt((LimitEntry e) -> e.when().values().size()).reversed();
    byResult.values().forEach(entries -> entries.sort(mostConditionsFirst));
  }

  /** The limit that a result of this name and these conditions is judged by. */
  public Optional<LimitEntry> entryFor(String result, Conditions conditions) {
    return byResult.getOrDefault(result, List.of()).stream()
        .filter(entry -> entry.appliesTo(result, conditions))
        .findFirst();
  }

  public Judgement judge(Measurement measurement) {
    LimitEntry entry = entryFor(measurement.name(), measurement.conditions()).orElse(null);
    Figure figure = measurement.figure();
    if (entry == null) {
      String detail = figure instanceof Figure.Invalid bad ? bad.reason() : "there is no limit";
      return new Judgement(Outcome.NOT_JUDGED, null, detail);
    }
    if (figure instanceof Figure.Invalid bad) {
      return new Judgement(Outcome.FAIL, entry.limit(), bad.reason());
    }
    Uncertainty uncertainty = measurement.uncertainty();
    if (acceptance.isGuarded() && uncertainty == null) {
      return unfit(
          entry.limit(), "its uncertainty is not known, and " + acceptance.rule() + " needs it");
    }
    if (figure instanceof Figure.OfQuantity one) {
      return entry.limit() instanceof Limit.Scalar scalar
          ? scalar(one.quantity(), scalar, entry.unit(), uncertainty)
          : unfit(
              entry.limit(), "the limit is a mask for a curve, the result is a single quantity");
    }
    Figure.OfCurve curve = (Figure.OfCurve) figure;
    return entry.limit() instanceof Limit.Mask mask
        ? MaskJudge.judge(curve.curve(), mask, acceptance, uncertainty)
        : unfit(entry.limit(), "the limit is for a single quantity, the result is a curve");
  }

  /**
   * Judges a result of the past. One that came without an uncertainty says nothing of the unit
   * where the rule asks for one, as it may have been measured under a rule that did not: it is not
   * judged then, unless it is outside of the limit itself, which no uncertainty mends.
   */
  public Judgement judgeStored(Measurement measurement) {
    Judgement judged = judge(measurement);
    Limit limit = judged.limit();
    if (!acceptance.isGuarded() || measurement.uncertainty() != null || limit == null) {
      return judged;
    }
    Judgement byItself = new Judge(byResult, Acceptance.SIMPLE).judge(measurement);
    return byItself.outcome().fails()
        ? byItself
        : new Judgement(Outcome.NOT_JUDGED, limit, NO_UNCERTAINTY);
  }

  /**
   * Judges one point of a curve that is still being measured.
   *
   * @param at its place along the curve
   * @return how it lies outside its mask; empty if it does not, or there is none
   */
  public Optional<Judgement> outside(
      String result, Conditions conditions, Quantity at, Quantity value) {
    LimitEntry entry = entryFor(result, conditions).orElse(null);
    if (entry == null || !(entry.limit() instanceof Limit.Mask mask)) {
      return Optional.empty();
    }
    double[] x = {at.value()};
    double[] y = {value.value()};
    return MaskJudge.outside(Curve.of(at.unit(), x, value.unit(), y), mask);
  }

  private Judgement scalar(
      Quantity value, Limit.Scalar limit, Unit unit, @Nullable Uncertainty uncertainty) {
    if (value.unit() != unit) {
      return unfit(limit, Say.otherUnit(unit, value.unit()));
    }
    Quantity low = limit.low();
    Quantity high = limit.high();
    Judgement.Guard guard = guard(value, limit, uncertainty);
    if (low != null && value.compareTo(low) < 0) {
      return new Judgement(Outcome.FAIL, limit, Say.compared(value, "is below", low), guard);
    }
    if (high != null && value.compareTo(high) > 0) {
      return new Judgement(Outcome.FAIL, limit, Say.compared(value, "is above", high), guard);
    }
    if (guard != null && low != null && value.value() < low.value() + guard.low()) {
      String detail = Say.guarded(value, low, guard.low(), "above", guard.conformance());
      return new Judgement(Outcome.GUARD_BAND, limit, detail, guard);
    }
    if (guard != null && high != null && value.value() > high.value() - guard.high()) {
      String detail = Say.guarded(value, high, guard.high(), "below", guard.conformance());
      return new Judgement(Outcome.GUARD_BAND, limit, detail, guard);
    }
    return new Judgement(Outcome.PASS, limit, Say.good(low, high), guard);
  }

  private Judgement.@Nullable Guard guard(
      Quantity value, Limit.Scalar limit, @Nullable Uncertainty uncertainty) {
    if (!acceptance.isGuarded() || uncertainty == null) {
      return null;
    }
    Quantity low = limit.low();
    Quantity high = limit.high();
    return new Judgement.Guard(
        low == null ? 0 : acceptance.aboveLow(uncertainty, 0),
        high == null ? 0 : acceptance.belowHigh(uncertainty, 0),
        Acceptance.conformance(
            value.value(),
            low == null ? Double.NEGATIVE_INFINITY : low.value(),
            high == null ? Double.POSITIVE_INFINITY : high.value(),
            uncertainty,
            0),
        acceptance.conformance());
  }

  static Judgement unfit(Limit limit, String detail) {
    return new Judgement(Outcome.FAIL, limit, detail);
  }
}
