package kitproof.limit;

import kitproof.uncertainty.Coverage;
import kitproof.value.Uncertainty;
import org.jspecify.annotations.Nullable;

/**
 * When a value is accepted: its rule, and how wide a guard band that asks for.
 *
 * @param rule simple or guarded
 * @param conformance of guarded acceptance: the least probability with which an accepted value
 *     conforms, from 0.5 to below 1
 */
record Acceptance(DecisionRule rule, double conformance) {
  static final double USUAL_CONFORMANCE = Judgement.Guard.USUAL;

  static final Acceptance SIMPLE =
      new Acceptance(DecisionRule.SIMPLE_ACCEPTANCE, USUAL_CONFORMANCE);

  boolean isGuarded() {
    return rule == DecisionRule.GUARDED_ACCEPTANCE;
  }

  /**
   * How far above a low limit a value must be: the one-sided expanded uncertainty towards it (JCGM
   * 106:2012, 8.3; ISO 14253-1:2017).
   *
   * @param index of the point of a curve; 0 of a single quantity
   */
  double aboveLow(@Nullable Uncertainty uncertainty, int index) {
    return uncertainty == null ? 0 : factor(uncertainty, index) * uncertainty.below(index);
  }

  /** How far below a high limit a value must be. */
  double belowHigh(@Nullable Uncertainty uncertainty, int index) {
    return uncertainty == null ? 0 : factor(uncertainty, index) * uncertainty.above(index);
  }

  private double factor(Uncertainty uncertainty, int index) {
    return isGuarded() ? Coverage.oneSided(conformance, uncertainty.degreesOfFreedom(index)) : 0;
  }

  /**
   * The probability that the truth is within the limits (JCGM 106:2012, clause 7), by Student's t.
   *
   * @param low lowest good value, negative infinity if there is none
   * @param high highest good value, infinity if there is none
   */
  static double conformance(
      double value, double low, double high, Uncertainty uncertainty, int index) {
    double nu = uncertainty.degreesOfFreedom(index);
    double tooLow = beyond(value - low, uncertainty.below(index), nu);
    double tooHigh = beyond(high - value, uncertainty.above(index), nu);
    return Math.max(0, 1 - tooLow - tooHigh);
  }

  /** The probability that the truth is farther away than a limit which is so far inside. */
  private static double beyond(double inside, double standard, double nu) {
    if (standard == 0) {
      return inside < 0 ? 1 : 0;
    }
    return 1 - Coverage.below(inside / standard, nu);
  }
}
