package kitproof.value;

/**
 * A range of one unit, both ends included: "20 Hz..20 kHz".
 *
 * @param low the lower end
 * @param high the upper end, of the same unit and not below the lower
 */
public record QuantityRange(Quantity low, Quantity high) {
  public QuantityRange {
    if (low.unit() != high.unit() || low.value() > high.value()) {
      throw new IllegalArgumentException("a range runs from low to high in one unit");
    }
  }

  /**
   * Reads "20 Hz..20 kHz".
   *
   * @throws IllegalArgumentException with what was expected
   */
  public static QuantityRange parse(String text, Unit unit) {
    int dots = text.indexOf("..");
    String expected = "a range in " + unit.symbol() + ", low end first, such as \"20 Hz..20 kHz\"";
    if (dots < 0) {
      throw new IllegalArgumentException(expected);
    }
    try {
      return new QuantityRange(
          Quantity.parse(text.substring(0, dots), unit),
          Quantity.parse(text.substring(dots + 2), unit));
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(expected, e);
    }
  }

  /** Whether the quantity lies in the range, ends included. */
  public boolean contains(Quantity quantity) {
    return quantity.compareTo(low) >= 0 && quantity.compareTo(high) <= 0;
  }

  /** Exact text that parses back. */
  @Override
  public String toString() {
    return low + ".." + high;
  }
}
