package kitproof.gauge;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.limit.statistics.DecisionRisk;
import kitproof.limit.statistics.GaugeAbility;
import kitproof.limit.statistics.GaugeByAnova;
import kitproof.limit.statistics.GaugeByRange;
import kitproof.limit.statistics.GaugeSpread;
import kitproof.limit.statistics.Interval;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** A study as maps and lists, for a program to read as JSON. Figures are in the unit they name. */
public final class GaugeTree {
  private GaugeTree() {}

  /** The whole report. */
  public static Map<String, Object> of(GaugeReport report) {
    Study study = report.study();
    return map(
        "study", report.name(),
        "by", report.by().toString(),
        "units", report.units(),
        "appraisers", report.appraisers(),
        "repeats", study == null ? null : study.repeats(),
        "seed", study == null ? null : study.seed(),
        "blind", study != null && study.blind(),
        "trials", study == null ? report.trials().size() : study.order().size(),
        "done", report.trials().size(),
        "runs", report.trials().stream().map(t -> t.run().run()).toList(),
        "unreadable", report.unreadable(),
        "confidence", GaugeResult.CONFIDENCE,
        "results", report.results().stream().map(GaugeTree::result).toList());
  }

  private static Map<String, Object> result(GaugeResult result) {
    GaugeSeries series = result.series();
    return map(
        "result", series.name(),
        "conditions", series.conditions().values(),
        "at", series.at() == null ? null : series.at().toString(),
        "unit", series.unit() == Unit.ONE ? "" : series.unit().symbol(),
        "low", series.low(),
        "high", series.high(),
        "sentence", result.sentence(),
        "ability", ability(result.ability()),
        "anova", anova(result),
        "ranges", ranges(result),
        "remarks", result.remarks(),
        "readings",
            series.readings().stream()
                .map(r -> map("appraiser", r.appraiser(), "unit", r.unit(), "value", r.value()))
                .toList());
  }

  private static @Nullable Map<String, Object> ability(@Nullable GaugeAbility ability) {
    if (ability == null) {
      return null;
    }
    DecisionRisk.Global risks = ability.risks();
    return map(
        "canJudge", GaugeText.words(ability.grade()),
        "shareOfTolerance", Double.isNaN(ability.share()) ? null : ability.share(),
        "shareOfToleranceBounds", pair(ability.shareBounds()),
        "falseAccept", risks == null ? null : risks.falseAccept(),
        "falseReject", risks == null ? null : risks.falseReject());
  }

  private static @Nullable Map<String, Object> anova(GaugeResult result) {
    GaugeByAnova anova = result.anova();
    if (anova == null) {
      return null;
    }
    Map<String, Object> tree = spread(anova.spread());
    tree.put("repeatabilityBounds", pair(anova.repeatabilityBounds()));
    tree.put("gaugeBounds", pair(anova.gaugeBounds()));
    tree.put("unitVariationBounds", pair(anova.unitBounds()));
    if (result.bounds() != null) {
      tree.put("reproducibilityBounds", pair(result.bounds().reproducibility()));
      tree.put("interactionBounds", pair(result.bounds().interaction()));
      tree.put("shareOfTotalBounds", pair(result.bounds().shareOfTotal()));
      tree.put("distinctCategoriesBounds", pair(result.bounds().distinctCategories()));
    }
    tree.put("interactionProbability", anova.interactionProbability());
    tree.put("interactionPooled", anova.pooled());
    tree.put(
        "sumsOfSquares",
        map(
            "units", square(anova.units()),
            "appraisers", square(anova.appraisers()),
            "interaction", square(anova.interaction()),
            "repeats", square(anova.equipment())));
    return tree;
  }

  private static Map<String, Object> square(GaugeByAnova.MeanSquare square) {
    return map("sum", square.sum(), "freedom", square.freedom());
  }

  private static @Nullable Map<String, Object> ranges(GaugeResult result) {
    GaugeByRange ranges = result.ranges();
    return ranges == null ? null : spread(ranges.spread());
  }

  private static Map<String, Object> spread(GaugeSpread spread) {
    double categories = spread.distinctCategories();
    double share = spread.shareOfTotal();
    return map(
        "repeatability", spread.repeatability(),
        "reproducibility", spread.reproducibility(),
        "interaction", spread.interaction(),
        "gauge", spread.gauge(),
        "unitVariation", spread.unitVariation(),
        "total", spread.total(),
        "shareOfTotal", Double.isFinite(share) ? share : null,
        "distinctCategories", Double.isFinite(categories) ? categories : null);
  }

  private static @Nullable List<Double> pair(@Nullable Interval interval) {
    return interval == null ? null : List.of(interval.low(), interval.high());
  }

  private static Map<String, Object> map(@Nullable Object... namesAndValues) {
    Map<String, Object> map = new LinkedHashMap<>();
    for (int i = 0; i < namesAndValues.length; i += 2) {
      map.put(String.valueOf(namesAndValues[i]), namesAndValues[i + 1]);
    }
    return map;
  }
}
