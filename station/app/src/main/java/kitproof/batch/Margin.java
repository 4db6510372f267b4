package kitproof.batch;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import kitproof.limit.Limit;
import kitproof.limit.statistics.Summary;
import kitproof.limit.statistics.ToleranceFactor;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * How far from the mean of a sample a limit is set.
 *
 * @param coverage part of all units that a limit shall hold
 * @param confidence that it does
 * @param factors one- and two-sided, by sample size, as far as they were needed
 */
record Margin(double coverage, double confidence, Map<String, Double> factors) {
  /** Units of which a value below zero means something. */
  private static final Set<Unit> SIGNED =
      Set.of(Unit.DECIBEL, Unit.DECIBEL_VOLT, Unit.DEGREE, Unit.CELSIUS);

  Margin(double coverage, double confidence) {
    this(coverage, confidence, new ConcurrentHashMap<>());
  }

  /** Which sides are limited. */
  record Sides(boolean low, boolean high) {}

  /**
   * The ends of a limit.
   *
   * @param factor by which the standard deviation was multiplied
   */
  record Ends(@Nullable Quantity low, @Nullable Quantity high, double factor) {
    /** ", low: 1 V, high: 2 V". */
    String words() {
      return (low == null ? "" : ", low: " + low) + (high == null ? "" : ", high: " + high);
    }
  }

  /** The sides that the limit had; both if there was none. */
  Sides sides(Series series) {
    Double low = series.low();
    Double high = series.high();
    return low == null && high == null
        ? new Sides(true, true)
        : new Sides(low != null, high != null);
  }

  Sides sides(Limit.@Nullable Mask mask) {
    return mask == null
        ? new Sides(true, true)
        : new Sides(
            mask.points().stream().anyMatch(p -> p.low() != null),
            mask.points().stream().anyMatch(p -> p.high() != null));
  }

  Ends ends(Summary summary, Sides wanted, Unit unit) {
    Sides sides = wanted;
    if (sides.low && sides.high && pointless(low(summary, factor(summary, true)), summary, unit)) {
      sides = new Sides(false, true);
    }
    double factor = factor(summary, sides.low && sides.high);
    return new Ends(
        sides.low ? rounded(low(summary, factor), summary, unit, RoundingMode.FLOOR) : null,
        sides.high
            ? rounded(
                summary.mean() + factor * summary.standardDeviation(),
                summary,
                unit,
                RoundingMode.CEILING)
            : null,
        factor);
  }

  /** A low below zero says nothing of what is never negative. */
  private static boolean pointless(double low, Summary summary, Unit unit) {
    return low < 0 && summary.lowest() >= 0 && !SIGNED.contains(unit);
  }

  private static double low(Summary summary, double factor) {
    return summary.mean() - factor * summary.standardDeviation();
  }

  private double factor(Summary summary, boolean both) {
    return factor(summary.count(), both);
  }

  double factor(int count, boolean both) {
    return factors.computeIfAbsent(
        count + (both ? " both" : " one"),
        key ->
            both
                ? ToleranceFactor.twoSided(count, coverage, confidence)
                : ToleranceFactor.oneSided(count, coverage, confidence));
  }

  /** Outward, to a tenth of the standard deviation's leading place. */
  private static Quantity rounded(double end, Summary summary, Unit unit, RoundingMode outward) {
    return rounded(end, summary.standardDeviation(), unit, outward);
  }

  static Quantity rounded(double end, double spread, Unit unit, RoundingMode outward) {
    if (!(spread > 0)) {
      return Quantity.of(
          new BigDecimal(end).round(new MathContext(12, outward)).doubleValue(), unit);
    }
    int places = 1 - (int) Math.floor(Math.log10(spread));
    return Quantity.of(new BigDecimal(end).setScale(places, outward).doubleValue(), unit);
  }

  String percent(double share) {
    return BigDecimal.valueOf(share).movePointRight(2).stripTrailingZeros().toPlainString() + " %";
  }
}
