package kitproof.value;

import java.util.Arrays;
import java.util.List;

/**
 * How well a figure is known: standard uncertainties in the figure's unit, and the budget that they
 * come from. Of a curve, for each of its points.
 *
 * <p>A value: arrays are copied in and out. Below and above differ where the truth can lie on one
 * side only, as with distortion near the station's own.
 */
public final class Uncertainty {
  private final double[] below;
  private final double[] above;
  private final double[] degreesOfFreedom;
  private final List<Contribution> budget;

  private Uncertainty(
      double[] below, double[] above, double[] degreesOfFreedom, List<Contribution> budget) {
    this.below = below;
    this.above = above;
    this.degreesOfFreedom = degreesOfFreedom;
    this.budget = List.copyOf(budget);
  }

  /**
   * Of a single quantity.
   *
   * @param below how far the truth may lie below the figure, a standard uncertainty, not negative
   * @param above the same above it
   * @param degreesOfFreedom effective, above zero; may be infinite
   * @param budget its lines; may be empty
   */
  public static Uncertainty of(
      double below, double above, double degreesOfFreedom, List<Contribution> budget) {
    return of(new double[] {below}, new double[] {above}, new double[] {degreesOfFreedom}, budget);
  }

  /**
   * Of a curve.
   *
   * @param below by point
   * @param above by point
   * @param degreesOfFreedom by point
   * @param budget of the point that is known least
   * @throws IllegalArgumentException if the lengths differ or a number is out of its bounds
   */
  public static Uncertainty of(
      double[] below, double[] above, double[] degreesOfFreedom, List<Contribution> budget) {
    if (below.length != above.length || below.length != degreesOfFreedom.length) {
      throw new IllegalArgumentException(
          below.length + " below, " + above.length + " above, " + degreesOfFreedom.length);
    }
    for (int i = 0; i < below.length; i++) {
      if (!(below[i] >= 0)
          || !(above[i] >= 0)
          || !Double.isFinite(below[i] + above[i])
          || !(degreesOfFreedom[i] > 0)) {
        throw new IllegalArgumentException(
            "an uncertainty of " + below[i] + ", " + above[i] + ", " + degreesOfFreedom[i]);
      }
    }
    return new Uncertainty(below.clone(), above.clone(), degreesOfFreedom.clone(), budget);
  }

  /** Number of points; 1 of a single quantity. */
  public int size() {
    return below.length;
  }

  /** How far the truth may lie below the figure: a standard uncertainty. */
  public double below(int index) {
    return below[index];
  }

  /** How far the truth may lie above the figure: a standard uncertainty. */
  public double above(int index) {
    return above[index];
  }

  /** Effective degrees of freedom; may be infinite. */
  public double degreesOfFreedom(int index) {
    return degreesOfFreedom[index];
  }

  /** The lines that it comes from; of a curve, at the point that is known least. */
  public List<Contribution> budget() {
    return budget;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Uncertainty that
        && Arrays.equals(below, that.below)
        && Arrays.equals(above, that.above)
        && Arrays.equals(degreesOfFreedom, that.degreesOfFreedom)
        && budget.equals(that.budget);
  }

  @Override
  public int hashCode() {
    return 31 * Arrays.hashCode(below) + Arrays.hashCode(above);
  }

  @Override
  public String toString() {
    return size() == 1
        ? "Uncertainty[-" + below[0] + " +" + above[0] + ", " + degreesOfFreedom[0] + "]"
        : "Uncertainty[" + size() + " points]";
  }
}
