package kitproof.value;

import org.jspecify.annotations.Nullable;

/**
 * A figure or curve with its name and conditions, not yet judged.
 *
 * @param name the result's name, for example "thd+n"
 * @param conditions what it holds under
 * @param figure what was found
 * @param note what a reader of the figure must know, such as that the station's own residual limits
 *     it; a sentence without full stop, empty if there is nothing
 * @param uncertainty how well the figure is known, point by point of a curve; null if that is not
 *     known, as on a bench without calibration
 */
public record Measurement(
    String name,
    Conditions conditions,
    Figure figure,
    String note,
    @Nullable Uncertainty uncertainty) {
  public Measurement {
    if (uncertainty != null && uncertainty.size() != size(figure)) {
      throw new IllegalArgumentException(
          name + ": an uncertainty of " + uncertainty.size() + " for " + figure);
    }
  }

  /** Of an uncertainty that is not known. */
  public Measurement(String name, Conditions conditions, Figure figure, String note) {
    this(name, conditions, figure, note, null);
  }

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

  private static int size(Figure figure) {
    if (figure instanceof Figure.OfCurve of) {
      return of.curve().size();
    }
    return figure instanceof Figure.OfQuantity ? 1 : 0;
  }

  /** The same with another figure, of which the uncertainty is not known. */
  public Measurement with(Figure other) {
    return new Measurement(name, conditions, other, note);
  }

  /** The same, known so well. */
  public Measurement with(Uncertainty known) {
    return new Measurement(name, conditions, figure, note, known);
  }

  /** The same with this note, after any that it has; as it is if the text is empty. */
  public Measurement noted(String text) {
    String both = note.isEmpty() || text.isEmpty() ? note + text : note + "; " + text;
    return new Measurement(name, conditions, figure, both, uncertainty);
  }

  /** The same with a note before those it has; the same if that is empty. */
  public Measurement notedFirst(String text) {
    return new Measurement(name, conditions, figure, text, uncertainty).noted(note);
  }

  /** "thd+n (mode triode, tap 8 ohm)". */
  public String title() {
    return conditions.isEmpty() ? name : name + " (" + conditions + ")";
  }
}
