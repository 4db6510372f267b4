package kitproof.value;

/** What a measurement found: one quantity, a curve, or the reason why there is neither. */
public sealed interface Figure {
  /** One number with its unit. */
  record OfQuantity(Quantity quantity) implements Figure {}

  /** A curve. */
  record OfCurve(Curve curve) implements Figure {}

  /**
   * No figure can be trusted: clipped, below the usable floor, samples lost. Never a pass.
   *
   * @param reason for the operator, a sentence without full stop
   */
  record Invalid(String reason) implements Figure {}
}
