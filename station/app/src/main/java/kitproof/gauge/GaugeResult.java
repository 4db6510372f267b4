package kitproof.gauge;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import kitproof.limit.statistics.DecisionRisk;
import kitproof.limit.statistics.GaugeAbility;
import kitproof.limit.statistics.GaugeAbility.Grade;
import kitproof.limit.statistics.GaugeBounds;
import kitproof.limit.statistics.GaugeByAnova;
import kitproof.limit.statistics.GaugeByRange;
import kitproof.limit.statistics.GaugeData;
import kitproof.limit.statistics.GaugeSpread;
import kitproof.limit.statistics.Interval;
import org.jspecify.annotations.Nullable;

/**
 * What a study tells of one result.
 *
 * @param series its readings
 * @param data those that were used; null if they are too few
 * @param anova by analysis of variance; null also if all repeats agree exactly
 * @param bounds of what that found; null with it
 * @param ranges by averages and ranges; null with the data, or without spread
 * @param ability to judge its limit; null without a limit or without the analysis of variance
 * @param remarks what the figures do not say, for people
 */
public record GaugeResult(
    GaugeSeries series,
    @Nullable GaugeData data,
    @Nullable GaugeByAnova anova,
    @Nullable GaugeBounds bounds,
    @Nullable GaugeByRange ranges,
    @Nullable GaugeAbility ability,
    List<String> remarks) {
  /** Confidence of all bounds. */
  public static final double CONFIDENCE = 0.95;

  /** AIAG asks for so many kinds of units that can be told apart. */
  public static final int ENOUGH_CATEGORIES = 5;

  private static final double PER = 1000;

  public GaugeResult {
    remarks = List.copyOf(remarks);
  }

  /** Works out all that the readings allow. */
  public static GaugeResult of(GaugeSeries series) {
    Balanced balanced = Balanced.of(series.readings());
    List<String> remarks = new ArrayList<>(balanced.left());
    if (series.invalid() > 0) {
      remarks.add(series.invalid() + " trials gave no valid figure");
    }
    GaugeData data = balanced.data();
    if (data == null) {
      return new GaugeResult(series, null, null, null, null, null, remarks);
    }
    GaugeByAnova anova;
    try {
      anova = GaugeByAnova.of(data, GaugeByAnova.POOL_ABOVE, CONFIDENCE);
    } catch (IllegalArgumentException e) {
      remarks.add("all repeats agree exactly: no finer than the figure's resolution");
      return new GaugeResult(series, data, null, null, null, null, remarks);
    }
    GaugeBounds bounds = GaugeBounds.of(anova, data, CONFIDENCE);
    Double low = series.low();
    Double high = series.high();
    GaugeAbility ability =
        low == null && high == null
            ? null
            : GaugeAbility.of(anova.spread(), anova.gaugeBounds(), mean(data), low, high);
    return new GaugeResult(series, data, anova, bounds, GaugeByRange.of(data), ability, remarks);
  }

  private static double mean(GaugeData data) {
    return data.units().stream().mapToDouble(data::meanOfUnit).average().orElseThrow();
  }

  /** In one sentence: whether the station can judge the limit. */
  public String sentence() {
    if (anova == null) {
      return data == null
          ? "Not enough was measured to say anything."
          : "Repeats do not differ at all, so that nothing can be said of the station's spread.";
    }
    if (ability == null) {
      return text(
          "No limit to judge: the station's own part of the spread is %.0f %%.",
          100 * anova.spread().shareOfTotal());
    }
    String words =
        switch (ability.grade()) {
          case ABLE -> "The station can judge this limit";
          case WITH_A_GUARD_BAND -> "The station can judge this limit with a guard band only";
          case UNABLE -> "The station cannot judge this limit";
          case OPEN ->
              "Nothing can be said of this limit: the units of the study are on its wrong side on"
                  + " average";
        };
    return words + part(ability) + doubt(ability) + risks(ability.risks()) + ".";
  }

  private static String part(GaugeAbility ability) {
    Interval bounds = ability.shareBounds();
    return bounds == null
        ? ""
        : text(
            ": its own spread takes %.3g %% of the tolerance (%.0f %% confidence: %.3g %% to"
                + " %.3g %%)",
            100 * ability.share(), 100 * CONFIDENCE, 100 * bounds.low(), 100 * bounds.high());
  }

  private static String doubt(GaugeAbility ability) {
    Interval bounds = ability.shareBounds();
    if (bounds == null) {
      return "";
    }
    if (ability.grade() != Grade.UNABLE && bounds.high() > GaugeAbility.UNFIT) {
      return ", which so few appraisers or reloads leave uncertain";
    }
    return ability.grade() == Grade.UNABLE && bounds.low() <= GaugeAbility.UNFIT
        ? ", which more appraisers or reloads may still show to be less"
        : "";
  }

  private static String risks(DecisionRisk.@Nullable Global risks) {
    return risks == null
        ? ""
        : text(
            "; of 1000 units like these it passes %s bad and fails %s good ones",
            count(risks.falseAccept()), count(risks.falseReject()));
  }

  private static String count(double part) {
    double number = PER * part;
    return number < 0.05 ? "no" : text(number < 10 ? "%.1f" : "%.0f", number);
  }

  /** What most of the station's own spread comes from. */
  public String mostly() {
    if (anova == null) {
      return "";
    }
    GaugeSpread spread = anova.spread();
    double most =
        Math.max(spread.repeatability(), Math.max(spread.reproducibility(), spread.interaction()));
    return most == spread.repeatability()
        ? "repeatability"
        : most == spread.reproducibility() ? "reproducibility" : "interaction";
  }

  /** Whole kinds of units that can be told apart, as AIAG counts them; at least 1. */
  public int categories() {
    return anova == null
        ? 0
        : (int) Math.max(1, Math.min(999, anova.spread().distinctCategories()));
  }

  /** For an order that begins with what is worst; results without a tolerance come last. */
  double badness() {
    if (ability == null || anova == null) {
      return anova == null ? -2 : -1 + anova.spread().shareOfTotal() / 2;
    }
    return ability.grade() == Grade.OPEN ? 1e9 : ability.share();
  }

  static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
