package kitproof.driver;

import kitproof.value.Quantity;

/** One answer of a meter. */
public sealed interface Reading {
  /** A value, scale factor of the bench file applied. */
  record Value(Quantity quantity) implements Reading {}

  /**
   * The input is beyond the range.
   *
   * @param negative whether beyond its negative end
   */
  record Overload(boolean negative) implements Reading {}

  /** The meter says that it has no number. */
  record NotANumber() implements Reading {}
}
