package kitproof.value;

/**
 * A figure or curve with its name and conditions, not yet judged.
 *
 * @param name the result's name, for example "thd+n"
 * @param conditions what it holds under
 * @param figure what was found
 */
public record Measurement(String name, Conditions conditions, Figure figure) {
  public static Measurement of(String name, Conditions conditions, Quantity quantity) {
    return new Measurement(name, conditions, new Figure.OfQuantity(quantity));
  }

  public static Measurement of(String name, Conditions conditions, Curve curve) {
    return new Measurement(name, conditions, new Figure.OfCurve(curve));
  }

  public static Measurement invalid(String name, Conditions conditions, String reason) {
    return new Measurement(name, conditions, new Figure.Invalid(reason));
  }

  /** "thd+n (mode triode, tap 8 ohm)". */
  public String title() {
    return conditions.isEmpty() ? name : name + " (" + conditions + ")";
  }
}
