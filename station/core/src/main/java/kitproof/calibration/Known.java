package kitproof.calibration;

import kitproof.uncertainty.Budget;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * A value of the bench as calibrated.
 *
 * @param value the best estimate
 * @param standard its standard uncertainty in the same plain unit
 * @param degreesOfFreedom of that; may be infinite
 */
public record Known(Quantity value, double standard, double degreesOfFreedom) {
  /** As a calibration file has it. */
  static Known of(Quantity value, Quantity u, @Nullable Double dof) {
    return new Known(value, u.value(), dof == null ? Double.POSITIVE_INFINITY : dof);
  }

  /** The same times a ratio that was found apart from it, both with what is not known of them. */
  Known times(Known ratio) {
    double product = value.value() * ratio.value.value();
    Budget both =
        Budget.of(
            contribution("value").times(ratio.value.value()),
            ratio.contribution("ratio").times(value.value()));
    return new Known(Quantity.of(product, value.unit()), both.standard(), both.degreesOfFreedom());
  }

  /** The line of a budget that it brings. */
  public Contribution contribution(String name) {
    return Contribution.known(name, Distribution.NORMAL, standard, value.unit())
        .with(degreesOfFreedom);
  }
}
