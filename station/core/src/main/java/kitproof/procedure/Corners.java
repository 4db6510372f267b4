package kitproof.procedure;

import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import kitproof.signal.ResponseFigures;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Where a response falls below and above its middle: the lower and the upper corner in Hz. */
final class Corners {
  static final String LOWER = "lower corner";
  static final String UPPER = "upper corner";

  private Corners() {}

  /**
   * Both corners of a response.
   *
   * @param curve level in dB against Hz
   * @param drop the fall from the reference that makes a corner, dB
   * @param referenceHz where the level is what a corner falls from
   * @param conditions of both
   * @return lower, then upper; invalid where the response does not fall so far
   */
  static List<Measurement> of(Curve curve, double drop, double referenceHz, Conditions conditions) {
    return List.of(
        corner(
            LOWER,
            conditions,
            ResponseFigures.lowerCornerHz(curve, drop, referenceHz),
            drop,
            curve),
        corner(
            UPPER,
            conditions,
            ResponseFigures.upperCornerHz(curve, drop, referenceHz),
            drop,
            curve));
  }

  /** Both corners of a response that could not be measured. */
  static List<Measurement> invalid(Conditions conditions, String reason) {
    return List.of(
        Measurement.invalid(LOWER, conditions, reason),
        Measurement.invalid(UPPER, conditions, reason));
  }

  private static Measurement corner(
      String name, Conditions conditions, OptionalDouble hertz, double drop, Curve curve) {
    if (hertz.isPresent()) {
      return Measurement.of(name, conditions, Quantity.of(hertz.getAsDouble(), Unit.HERTZ));
    }
    return Measurement.invalid(
        name,
        conditions,
        String.format(
            Locale.ROOT,
            "the response does not fall by %.1f dB between %.0f Hz and %.0f Hz",
            drop,
            curve.x(0),
            curve.x(curve.size() - 1)));
  }
}
