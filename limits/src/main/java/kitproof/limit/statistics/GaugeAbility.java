package kitproof.limit.statistics;

import org.jspecify.annotations.Nullable;

/**
 * Whether a gauge is fine enough to judge by a limit, by its part of the tolerance (AIAG,
 * Measurement Systems Analysis, 4th edition, 2010: below 10 % good, above 30 % unfit).
 *
 * <p>Of a single limit the tolerance is taken as twice the way from the mean of the units to it, as
 * if another limit stood as far on the other side (common practice, no source).
 *
 * @param grade what follows
 * @param share six standard deviations of the gauge as a part of the tolerance; not a number where
 *     there is no tolerance
 * @param shareBounds its confidence bounds; null where there is none
 * @param risks the parts of units like these that are judged wrongly; null without a spread of
 *     units or of the gauge
 */
public record GaugeAbility(
    Grade grade,
    double share,
    @Nullable Interval shareBounds,
    DecisionRisk.@Nullable Global risks) {
  /** Below this part of the tolerance a gauge is good. */
  public static final double GOOD = 0.1;

  /** Above this part it is unfit. */
  public static final double UNFIT = 0.3;

  /** What may be made of a judgement. */
  public enum Grade {
    /** It can be relied on. */
    ABLE,
    /** It can be relied on away from the limit: a guard band is due. */
    WITH_A_GUARD_BAND,
    /** It cannot be relied on. */
    UNABLE,
    /** The units of the study are on the wrong side of the limit, or on it: nothing is told. */
    OPEN
  }

  /**
   * Grades a gauge.
   *
   * @param spread of the study
   * @param gaugeBounds of {@code spread.gauge()}
   * @param mean of the units
   * @param low lowest good value, or null
   * @param high highest good value, or null
   * @throws IllegalArgumentException if both are missing
   */
  public static GaugeAbility of(
      GaugeSpread spread,
      Interval gaugeBounds,
      double mean,
      @Nullable Double low,
      @Nullable Double high) {
    double tolerance = tolerance(mean, low, high);
    if (!(tolerance > 0)) {
      return new GaugeAbility(Grade.OPEN, Double.NaN, null, null);
    }
    double share = spread.shareOfTolerance(tolerance);
    Grade grade =
        share <= GOOD ? Grade.ABLE : share <= UNFIT ? Grade.WITH_A_GUARD_BAND : Grade.UNABLE;
    DecisionRisk.Global risks =
        spread.unitVariation() > 0 && spread.gauge() > 0
            ? DecisionRisk.global(mean, spread.unitVariation(), spread.gauge(), low, high, 0)
            : null;
    return new GaugeAbility(
        grade,
        share,
        new Interval(6 * gaugeBounds.low() / tolerance, 6 * gaugeBounds.high() / tolerance),
        risks);
  }

  private static double tolerance(double mean, @Nullable Double low, @Nullable Double high) {
    if (low != null && high != null) {
      return high - low;
    }
    if (low != null) {
      return 2 * (mean - low);
    }
    if (high != null) {
      return 2 * (high - mean);
    }
    throw new IllegalArgumentException("no limit");
  }
}
