package kitproof.uncertainty;

import org.apache.commons.math3.distribution.NormalDistribution;
import org.apache.commons.math3.distribution.TDistribution;

/** How many standard uncertainties make an interval (JCGM 100:2008, clause 6 and annex G). */
public final class Coverage {
  /** The usual probability of coverage, for which the factor of a well known figure is 2. */
  public static final double USUAL = 0.9545;

  /** More than so many degrees of freedom are as good as infinitely many. */
  private static final double MANY = 1e6;

  private Coverage() {}

  /**
   * The factor k of an interval of ±k·u that holds the truth with a probability: Student's t, where
   * the standard uncertainty itself is known with so many degrees of freedom.
   *
   * @param probability above 0 and below 1
   * @param degreesOfFreedom above 0, need not be whole; may be infinite
   */
  public static double factor(double probability, double degreesOfFreedom) {
    return oneSided((1 + probability) / 2, degreesOfFreedom);
  }

  /**
   * The factor k so that the truth lies below an estimate plus k·u with a probability.
   *
   * @param probability above 0 and below 1; below 0.5 the factor is negative
   * @param degreesOfFreedom above 0, need not be whole; may be infinite
   */
  public static double oneSided(double probability, double degreesOfFreedom) {
    if (!(probability > 0) || !(probability < 1)) {
      throw new IllegalArgumentException("a probability of " + probability);
    }
    if (!(degreesOfFreedom > 0)) {
      throw new IllegalArgumentException(degreesOfFreedom + " degrees of freedom");
    }
    return degreesOfFreedom > MANY
        ? new NormalDistribution(null, 0, 1).inverseCumulativeProbability(probability)
        : new TDistribution(null, degreesOfFreedom).inverseCumulativeProbability(probability);
  }

  /**
   * The probability that the truth lies within bounds, if it is distributed about an estimate of
   * zero with a standard uncertainty of one.
   *
   * @param bound upper bound in standard uncertainties; may be infinite
   */
  public static double below(double bound, double degreesOfFreedom) {
    if (Double.isInfinite(bound)) {
      return bound > 0 ? 1 : 0;
    }
    return degreesOfFreedom > MANY
        ? new NormalDistribution(null, 0, 1).cumulativeProbability(bound)
        : new TDistribution(null, degreesOfFreedom).cumulativeProbability(bound);
  }
}
