package kitproof.limit.statistics;

import org.apache.commons.math3.distribution.FDistribution;
import org.apache.commons.math3.stat.StatUtils;

/**
 * A gauge study by analysis of variance: units and appraisers crossed, both drawn at random (AIAG,
 * Measurement Systems Analysis, 4th edition, 2010; NIST/SEMATECH e-Handbook 2.4).
 *
 * <p>Where the interaction is far from significant it is pooled into the repeatability. A negative
 * variance component is 0.
 *
 * @param units between units
 * @param appraisers between appraisers
 * @param interaction of the two
 * @param equipment between repeats
 * @param interactionProbability of an interaction as large by chance
 * @param pooled whether the interaction went into the repeatability
 * @param spread the parts of the spread
 * @param repeatabilityBounds of {@code spread.repeatability()}, exact for normal readings
 * @param gaugeBounds of {@code spread.gauge()}
 * @param unitBounds of {@code spread.unitVariation()}
 */
public record GaugeByAnova(
    MeanSquare units,
    MeanSquare appraisers,
    MeanSquare interaction,
    MeanSquare equipment,
    double interactionProbability,
    boolean pooled,
    GaugeSpread spread,
    Interval repeatabilityBounds,
    Interval gaugeBounds,
    Interval unitBounds) {

  /** The significance above which an interaction is pooled: common practice (AIAG). */
  public static final double POOL_ABOVE = 0.25;

  /**
   * A sum of squares with its degrees of freedom.
   *
   * @param sum in the unit of the readings, squared
   * @param freedom degrees of freedom
   */
  public record MeanSquare(double sum, int freedom) {
    /** The mean square. */
    public double mean() {
      return sum / freedom;
    }

    MeanSquare and(MeanSquare other) {
      return new MeanSquare(sum + other.sum, freedom + other.freedom);
    }
  }

  /**
   * Takes the spread of a study apart.
   *
   * @param poolAbove pool the interaction if its probability is above this; 1 never pools
   * @param confidence of the two-sided bounds, such as 0.95
   * @throws IllegalArgumentException if all repeats agree exactly, so that there is nothing to
   *     compare with
   */
  public static GaugeByAnova of(GaugeData data, double poolAbove, double confidence) {
    Sample.requireProbability(confidence, "a confidence of");
    int p = data.units().size();
    int o = data.appraisers().size();
    int r = data.repeats();
    double grand = StatUtils.mean(data.all());
    double unitSum = 0;
    double appraiserSum = 0;
    double interactionSum = 0;
    double equipmentSum = 0;
    double[] unitMeans = new double[p];
    for (int u = 0; u < p; u++) {
      unitMeans[u] = StatUtils.mean(data.ofUnit(u));
      unitSum += o * r * square(unitMeans[u] - grand);
    }
    for (int a = 0; a < o; a++) {
      double appraiserMean = StatUtils.mean(data.ofAppraiser(a));
      appraiserSum += p * r * square(appraiserMean - grand);
      for (int u = 0; u < p; u++) {
        double[] cell = data.cell(a, u);
        double mean = StatUtils.mean(cell);
        interactionSum += r * square(mean - unitMeans[u] - appraiserMean + grand);
        equipmentSum += StatUtils.variance(cell, mean) * (r - 1);
      }
    }
    if (!(equipmentSum > 0)) {
      throw new IllegalArgumentException("all repeats agree exactly");
    }
    MeanSquare units = new MeanSquare(unitSum, p - 1);
    MeanSquare appraisers = new MeanSquare(appraiserSum, o - 1);
    MeanSquare interaction = new MeanSquare(interactionSum, (p - 1) * (o - 1));
    MeanSquare equipment = new MeanSquare(equipmentSum, p * o * (r - 1));
    double probability = probability(interaction, equipment);
    boolean pooled = probability > poolAbove;
    MeanSquare error = pooled ? interaction.and(equipment) : equipment;
    MeanSquare against = pooled ? error : interaction;
    double crossed = pooled ? 0 : component(interaction, error, r);
    GaugeSpread spread =
        new GaugeSpread(
            Math.sqrt(error.mean()),
            Math.sqrt(component(appraisers, against, p * r)),
            Math.sqrt(crossed),
            Math.sqrt(component(units, against, o * r)));
    VarianceBounds bounds = new VarianceBounds(confidence);
    Interval gauge =
        pooled
            ? bounds
                .plus(appraisers, 1.0 / (p * r))
                .plus(error, 1 - 1.0 / (p * r))
                .standardDeviation()
            : bounds
                .plus(appraisers, 1.0 / (p * r))
                .plus(interaction, (p - 1.0) / (p * r))
                .plus(error, (r - 1.0) / r)
                .standardDeviation();
    return new GaugeByAnova(
        units,
        appraisers,
        interaction,
        equipment,
        probability,
        pooled,
        spread,
        bounds.plus(error, 1).standardDeviation(),
        gauge,
        bounds.plus(units, 1.0 / (o * r)).minus(against, 1.0 / (o * r)).standardDeviation());
  }

  /** The probability of a ratio of mean squares as large by chance. */
  static double probability(MeanSquare of, MeanSquare against) {
    return 1
        - new FDistribution(null, of.freedom(), against.freedom())
            .cumulativeProbability(of.mean() / against.mean());
  }

  private static double component(MeanSquare of, MeanSquare less, int readings) {
    return Math.max(0, (of.mean() - less.mean()) / readings);
  }

  private static double square(double x) {
    return x * x;
  }
}
