package kitproof.procedure;

import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * How far a check is from what calibration has found, over what both are known to: the difference
 * over the root of the sum of the squared expanded uncertainties, k = 2 (ISO 13528:2022, 9.7; from
 * memory). Good is from -1 to 1.
 */
public final class NormalisedError {
  /** What the name of such a result ends in. */
  public static final String SUFFIX = " normalised error";

  private static final double COVERAGE = 2;

  private NormalisedError() {}

  /**
   * Its value.
   *
   * @param found now
   * @param foundStandard standard uncertainty of that
   * @param calibrated what was found at calibration, in the same unit
   * @param calibratedStandard standard uncertainty of that
   */
  public static double of(
      double found, double foundStandard, double calibrated, double calibratedStandard) {
    return (found - calibrated) / (COVERAGE * Math.hypot(foundStandard, calibratedStandard));
  }

  static Measurement result(String of, Conditions conditions, double value) {
    return Measurement.of(of + SUFFIX, conditions, Quantity.of(value, Unit.ONE));
  }

  static Measurement missing(String of, Conditions conditions, String why) {
    return Measurement.invalid(of + SUFFIX, conditions, why);
  }

  /** Whether a value is out of its bounds. */
  public static boolean beyond(double value) {
    return !(Math.abs(value) <= 1);
  }
}
