package kitproof.gauge;

import java.util.ArrayList;
import java.util.List;
import kitproof.limit.statistics.GaugeAbility;
import kitproof.limit.statistics.GaugeAbility.Grade;
import kitproof.limit.statistics.GaugeSpread;

/** A study in words, for a person at a terminal. */
public final class GaugeText {
  /** How the figures are to be read. */
  public static final List<String> NOTES =
      List.of(
          "Spreads are standard deviations by analysis of variance, units and appraisers drawn at"
              + " random; an interaction that may well be chance (p > 0.25) counts as repeatability.",
          "Tolerance: six deviations of the station's own spread, of high less low limit; of a single"
              + " limit, of twice the way from the mean of the units to it. Up to 10 % is good, above"
              + " 30 % unfit.",
          "Kinds: how many kinds of units the station can tell apart; 5 or more are wanted. Ranges:"
              + " the station's spread again, by averages and ranges, which see no interaction.");

  private GaugeText() {}

  /** The lines to print. */
  public static List<String> lines(GaugeReport report) {
    List<String> lines = new ArrayList<>();
    lines.add(heading(report));
    lines.add("  units: " + String.join(", ", report.units()));
    lines.add("  " + report.by() + "s: " + String.join(", ", report.appraisers()));
    if (report.left() > 0) {
      lines.add(
          "  "
              + report.left()
              + " trials are still to do; what follows is what those before them tell");
    }
    List<GaugeResult> limited = report.limited();
    if (!limited.isEmpty()) {
      lines.add("");
      lines.add("Can the station judge its limits?");
      for (Grade grade : Grade.values()) {
        long count = limited.stream().filter(r -> is(r, grade)).count();
        if (count > 0) {
          lines.add(GaugeResult.text("  %3d  %s", count, words(grade)));
        }
      }
      long open = limited.stream().filter(r -> r.ability() == null).count();
      if (open > 0) {
        lines.add(GaugeResult.text("  %3d  nothing can be said yet", open));
      }
      lines.add("");
      for (GaugeResult result : limited) {
        lines.add("  " + result.series().title());
        lines.add("      " + result.sentence());
      }
    }
    table(report.results(), lines);
    return lines;
  }

  private static boolean is(GaugeResult result, Grade grade) {
    GaugeAbility ability = result.ability();
    return ability != null && ability.grade() == grade;
  }

  /** What a grade says of a limit, to follow a number of limits. */
  public static String words(Grade grade) {
    return switch (grade) {
      case ABLE -> "yes";
      case WITH_A_GUARD_BAND -> "with a guard band only";
      case UNABLE -> "no";
      case OPEN -> "nothing can be said: the units are on the wrong side";
    };
  }

  private static String heading(GaugeReport report) {
    Study study = report.study();
    if (study == null) {
      return "runs of batch "
          + report.name()
          + " as a gauge study by "
          + report.by()
          + ": "
          + report.trials().size()
          + " runs";
    }
    return "gauge study "
        + study.name()
        + ": "
        + study.units().size()
        + " units, "
        + study.appraisers().size()
        + " "
        + study.by()
        + "s, "
        + study.repeats()
        + " repeats; "
        + report.trials().size()
        + " of "
        + study.order().size()
        + " trials done";
  }

  private static void table(List<GaugeResult> results, List<String> lines) {
    if (results.isEmpty()) {
      return;
    }
    lines.add("");
    lines.add(
        "The station's own spread, what it is made of, and that of the units; what is hardest to judge"
            + " first");
    lines.add(
        GaugeResult.text(
            "  %9s %7s %5s %10s %10s %10s %10s %10s %10s  %s",
            "tolerance",
            "study",
            "kinds",
            "station",
            "repeat.",
            "reprod.",
            "interact.",
            "units",
            "ranges",
            "result"));
    for (GaugeResult result : results) {
      lines.add(row(result).stripTrailing());
    }
    lines.add("");
    lines.addAll(NOTES);
  }

  private static String row(GaugeResult result) {
    String title =
        result.series().title()
            + (result.remarks().isEmpty() ? "" : ": " + String.join(", ", result.remarks()));
    if (result.anova() == null || result.ranges() == null) {
      return GaugeResult.text("  %9s %7s %5s %65s  %s", "", "", "", "", title);
    }
    GaugeSpread spread = result.anova().spread();
    GaugeSeries series = result.series();
    GaugeAbility ability = result.ability();
    return GaugeResult.text(
        "  %9s %7s %5d %10s %10s %10s %10s %10s %10s  %s",
        ability == null || Double.isNaN(ability.share())
            ? ""
            : GaugeResult.text("%.3g %%", 100 * ability.share()),
        GaugeResult.text("%.0f %%", 100 * spread.shareOfTotal()),
        result.categories(),
        series.show(spread.gauge()),
        series.show(spread.repeatability()),
        series.show(spread.reproducibility()),
        result.anova().pooled() ? "pooled" : series.show(spread.interaction()),
        series.show(spread.unitVariation()),
        series.show(result.ranges().spread().gauge()),
        title);
  }
}
