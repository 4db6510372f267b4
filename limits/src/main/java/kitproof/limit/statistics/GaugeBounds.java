package kitproof.limit.statistics;

import java.util.Arrays;
import java.util.function.ToDoubleFunction;
import kitproof.limit.statistics.GaugeByAnova.MeanSquare;
import org.apache.commons.math3.distribution.GammaDistribution;
import org.apache.commons.math3.random.Well19937c;

/**
 * Confidence bounds of everything that a gauge study tells, ratios among them, by generalised
 * inference: which components may stand behind mean squares such as those found.
 *
 * <p>Hamada and Weerahandi, Journal of Quality Technology 32 (2000) 241, recommended by Burdick,
 * Borror and Montgomery, Journal of Quality Technology 35 (2003) 342. Formulas from memory; a
 * simulation in the tests checks how often the bounds hold. The draws are seeded: the same study
 * has the same bounds everywhere.
 *
 * @param reproducibility between appraisers
 * @param interaction of appraisers with units
 * @param shareOfTotal the gauge's part of everything, a ratio of standard deviations
 * @param distinctCategories how many kinds of units can be told apart
 */
public record GaugeBounds(
    Interval reproducibility,
    Interval interaction,
    Interval shareOfTotal,
    Interval distinctCategories) {
  private static final int DRAWS = 4000;
  private static final int SEED = 20_000_241;

  /** More than can be told apart by any gauge: where it is so fine that nothing bounds it. */
  private static final double MANY = 1e6;

  /**
   * The bounds of a study.
   *
   * @param anova what it found
   * @param data what it was found from
   * @param confidence of the two-sided bounds, such as 0.95
   */
  public static GaugeBounds of(GaugeByAnova anova, GaugeData data, double confidence) {
    return of(anova, data, confidence, DRAWS);
  }

  static GaugeBounds of(GaugeByAnova anova, GaugeData data, double confidence, int draws) {
    Sample.requireProbability(confidence, "a confidence of");
    GaugeSpread[] drawn = drawn(anova, data, draws);
    double tail = (1 - confidence) / 2;
    return new GaugeBounds(
        between(drawn, GaugeSpread::reproducibility, tail),
        between(drawn, GaugeSpread::interaction, tail),
        between(drawn, GaugeSpread::shareOfTotal, tail),
        between(drawn, s -> Math.min(MANY, s.distinctCategories()), tail));
  }

  private static GaugeSpread[] drawn(GaugeByAnova anova, GaugeData data, int draws) {
    Well19937c random = new Well19937c(SEED);
    MeanSquare inside =
        anova.pooled() ? anova.interaction().and(anova.equipment()) : anova.equipment();
    GammaDistribution ofError = chiSquare(random, inside);
    GammaDistribution ofInteraction = chiSquare(random, anova.interaction());
    GammaDistribution ofAppraisers = chiSquare(random, anova.appraisers());
    GammaDistribution ofUnits = chiSquare(random, anova.units());
    int r = data.repeats();
    double perAppraiser = data.units().size() * (double) r;
    double perUnit = data.appraisers().size() * (double) r;
    GaugeSpread[] spreads = new GaugeSpread[draws];
    for (int i = 0; i < draws; i++) {
      double error = inside.sum() / ofError.sample();
      double crossed = anova.pooled() ? error : anova.interaction().sum() / ofInteraction.sample();
      double appraisers = anova.appraisers().sum() / ofAppraisers.sample();
      double units = anova.units().sum() / ofUnits.sample();
      spreads[i] =
          new GaugeSpread(
              Math.sqrt(error),
              root((appraisers - crossed) / perAppraiser),
              root((crossed - error) / r),
              root((units - crossed) / perUnit));
    }
    return spreads;
  }

  private static GammaDistribution chiSquare(Well19937c random, MeanSquare square) {
    return new GammaDistribution(random, square.freedom() / 2.0, 2);
  }

  private static double root(double variance) {
    return Math.sqrt(Math.max(0, variance));
  }

  private static Interval between(
      GaugeSpread[] drawn, ToDoubleFunction<GaugeSpread> figure, double tail) {
    double[] values = Arrays.stream(drawn).mapToDouble(figure).sorted().toArray();
    int last = values.length - 1;
    return new Interval(
        values[(int) Math.round(tail * last)], values[(int) Math.round((1 - tail) * last)]);
  }
}
