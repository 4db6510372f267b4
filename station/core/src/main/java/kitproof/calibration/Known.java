package kitproof.calibration;

import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Quantity;

/**
 * A value of the bench as calibrated.
 *
 * @param value the best estimate
 * @param standard its standard uncertainty in the same plain unit
 * @param degreesOfFreedom of that; may be infinite
 */
public record Known(Quantity value, double standard, double degreesOfFreedom) {
  /** The line of a budget that it brings. */
  public Contribution contribution(String name) {
    return Contribution.known(name, Distribution.NORMAL, standard, value.unit())
        .with(degreesOfFreedom);
  }
}
