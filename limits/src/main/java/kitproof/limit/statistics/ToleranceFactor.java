package kitproof.limit.statistics;

import org.apache.commons.math3.analysis.UnivariateFunction;
import org.apache.commons.math3.analysis.solvers.BrentSolver;
import org.apache.commons.math3.distribution.ChiSquaredDistribution;

/**
 * Factors k of normal tolerance limits: mean ± k·s holds a stated part of all units to come with a
 * stated confidence. No units.
 *
 * <p>Exact by integration (ISO 16269-6:2014; tables in Odeh and Owen 1980; NIST/SEMATECH e-Handbook
 * 7.2.6.3), for any number of values; the sample must be normal and independent.
 */
public final class ToleranceFactor {
  private static final double EXACT = 1e-12;
  private static final double LEAST = 1e-9;
  private static final double LARGEST = 1e6;

  private ToleranceFactor() {}

  /**
   * Of limits on both sides.
   *
   * @param count of the sample, 2 or more
   * @param coverage the part of all units that shall be inside, such as 0.99
   * @param confidence that it is, such as 0.95
   * @throws IllegalArgumentException if the count is below 2 or a probability is not between 0 and
   *     1
   */
  public static double twoSided(int count, double coverage, double confidence) {
    require(count, coverage, confidence);
    ChiSquaredDistribution chi = new ChiSquaredDistribution(null, count - 1);
    UnivariateFunction shortfall =
        k ->
            2
                    * Quadrature.integrate(
                        z -> {
                          double reach = reach(z / Math.sqrt(count), coverage);
                          return Normal.density(z) * spreadAbove(chi, count, reach / k);
                        },
                        0,
                        Normal.FAR)
                - confidence;
    return solve(shortfall);
  }

  /** How far both ways from a mean that is off by {@code offset} to hold the coverage. */
  private static double reach(double offset, double coverage) {
    double far = offset + Normal.quantile(0.5 + coverage / 2) + 1;
    return new BrentSolver(1e-14, 1e-14)
        .solve(200, r -> Normal.below(offset + r) - Normal.below(offset - r) - coverage, 0, far);
  }

  /**
   * Of limits on both sides by Howe's approximation (Journal of the American Statistical
   * Association 64 (1969) 610), as the NIST/SEMATECH e-Handbook prints it.
   *
   * @throws IllegalArgumentException as {@link #twoSided}
   */
  public static double twoSidedByHowe(int count, double coverage, double confidence) {
    require(count, coverage, confidence);
    double chi =
        new ChiSquaredDistribution(null, count - 1).inverseCumulativeProbability(1 - confidence);
    return Normal.quantile((1 + coverage) / 2) * Math.sqrt((1 + 1.0 / count) * (count - 1) / chi);
  }

  /**
   * Of a limit on one side.
   *
   * @param coverage the part of all units that shall be inside, above 0.5
   * @throws IllegalArgumentException as {@link #twoSided}, and if the coverage is not above 0.5
   */
  public static double oneSided(int count, double coverage, double confidence) {
    require(count, coverage, confidence);
    if (!(coverage > 0.5)) {
      throw new IllegalArgumentException("a coverage of " + coverage + " on one side");
    }
    ChiSquaredDistribution chi = new ChiSquaredDistribution(null, count - 1);
    double wanted = Normal.quantile(coverage);
    // A mean so far off that it covers enough by itself needs no spread.
    double enough = Math.max(-Normal.FAR, Math.min(Normal.FAR, wanted * Math.sqrt(count)));
    UnivariateFunction shortfall =
        k ->
            Normal.above(enough)
                + Quadrature.integrate(
                    z ->
                        Normal.density(z)
                            * spreadAbove(chi, count, (wanted - z / Math.sqrt(count)) / k),
                    -Normal.FAR,
                    enough)
                - confidence;
    return solve(shortfall);
  }

  /** The probability that the sample's standard deviation is above a multiple of the true one. */
  private static double spreadAbove(ChiSquaredDistribution chi, int count, double ratio) {
    return ratio <= 0 ? 1 : 1 - chi.cumulativeProbability((count - 1) * ratio * ratio);
  }

  private static double solve(UnivariateFunction shortfall) {
    double high = 1;
    while (shortfall.value(high) < 0 && high < LARGEST) {
      high *= 2;
    }
    return new BrentSolver(EXACT, EXACT).solve(200, shortfall, high == 1 ? LEAST : high / 2, high);
  }

  private static void require(int count, double coverage, double confidence) {
    if (count < 2) {
      throw new IllegalArgumentException(count + " values, where 2 or more are needed");
    }
    Sample.requireProbability(coverage, "a coverage of");
    Sample.requireProbability(confidence, "a confidence of");
  }
}
