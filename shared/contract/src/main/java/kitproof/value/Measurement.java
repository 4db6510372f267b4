package kitproof.value;

/**
 * A figure or curve with its name and conditions, not yet judged.
 *
 * @param name the result's name, for example "thd+n"
 * @param conditions what it holds under
 * @param figure what was found
 * @param note what a reader of the figure must know, such as that the station's own residual limits
 *     it; a sentence without full stop, empty if there is nothing
 */
public record Measurement(String name, Conditions conditions, Figure figure, String note) {
  /** Without a note. */
  public Measurement(String name, Conditions conditions, Figure figure) {
    this(name, conditions, figure, "");
  }

  public static Measurement of(String name, Conditions conditions, Quantity quantity) {
    return new Measurement(name, conditions, new Figure.OfQuantity(quantity));
  }

  public static Measurement of(String name, Conditions conditions, Curve curve) {
    return new Measurement(name, conditions, new Figure.OfCurve(curve));
  }

  public static Measurement invalid(String name, Conditions conditions, String reason) {
    return new Measurement(name, conditions, new Figure.Invalid(reason));
  }

  /** The same with another figure. */
  public Measurement with(Figure other) {
    return new Measurement(name, conditions, other, note);
  }

  /** The same with this note. */
  public Measurement noted(String text) {
    return new Measurement(name, conditions, figure, text);
  }

  /** "thd+n (mode triode, tap 8 ohm)". */
  public String title() {
    return conditions.isEmpty() ? name : name + " (" + conditions + ")";
  }
}
