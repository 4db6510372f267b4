package kitproof.value;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A finite number with its unit.
 *
 * <p>{@link #toString()} is exact and parses back to an equal quantity; {@link #display()} is for
 * people. Both are the same in every locale.
 *
 * @param value the number in the plain unit, never NaN or infinite
 * @param unit its unit
 */
public record Quantity(double value, Unit unit) implements Comparable<Quantity> {
  private static final Pattern FORM =
      Pattern.compile("([+-]?(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][+-]?\\d+)?)\\s*(\\D.*)?");

  public Quantity {
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException("a quantity is finite, not " + value);
    }
    value = value + 0.0; // minus zero and zero are one quantity
  }

  public static Quantity of(double value, Unit unit) {
    return new Quantity(value, unit);
  }

  /**
   * Reads "435 V", "20kHz", "-60 dB", "0.05".
   *
   * @throws IllegalArgumentException with a message for the person who wrote the text
   */
  public static Quantity parse(String text) {
    Matcher form = FORM.matcher(text.strip());
    if (!form.matches()) {
      throw new IllegalArgumentException("a number with its unit, such as \"435 V\"");
    }
    String unitText = form.group(2) == null ? "" : form.group(2).strip();
    Prefix.Split split =
        Prefix.split(unitText)
            .orElseThrow(
                () -> new IllegalArgumentException("a known unit after the number, such as V, W"));
    return new Quantity(scaled(form.group(1), split.prefix().exponent()), split.unit());
  }

  private static double scaled(String digits, int exponent) {
    String expected = "a number that is not beyond all bounds";
    double value;
    try {
      value = new BigDecimal(digits).scaleByPowerOfTen(exponent).doubleValue();
    } catch (NumberFormatException | ArithmeticException e) {
      throw new IllegalArgumentException(expected, e); // the exponent has too many digits
    }
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException(expected);
    }
    return value;
  }

  /**
   * Reads a quantity that must have this unit.
   *
   * @throws IllegalArgumentException with what was expected
   */
  public static Quantity parse(String text, Unit unit) {
    Quantity quantity;
    try {
      quantity = parse(text);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(expectation(unit), e);
    }
    if (quantity.unit != unit) {
      throw new IllegalArgumentException(expectation(unit));
    }
    return quantity;
  }

  /** What to tell someone who wrote something else where this unit is wanted. */
  public static String expectation(Unit unit) {
    return unit == Unit.ONE
        ? "a number without unit"
        : "a quantity in " + unit.symbol() + ", such as \"10 " + unit.symbol() + "\"";
  }

  /** The value; a guard against mixed units at the place of use. */
  public double in(Unit wanted) {
    if (wanted != unit) {
      throw new IllegalArgumentException("wanted " + wanted + ", have " + this);
    }
    return value;
  }

  @Override
  public int compareTo(Quantity other) {
    return Double.compare(value, other.in(unit));
  }

  /** Exact text in the plain unit; {@link #parse(String)} gives an equal quantity back. */
  @Override
  public String toString() {
    return join(plain(new BigDecimal(Double.toString(value))), unit.symbol());
  }

  /** Four significant digits with a fitting prefix: "331.2 V", "2.35 mV", "-60.1 dB". */
  public String display() {
    return display(4);
  }

  /**
   * Rounded for people, with a prefix where the unit takes one.
   *
   * @param digits significant digits, at least 1; decibels, percent and degrees never get more than
   *     this many, and no more than three places after the point
   */
  public String display(int digits) {
    if (value == 0) {
      return join("0", unit.symbol());
    }
    BigDecimal exact = BigDecimal.valueOf(value);
    if (!unit.takesPrefix()) {
      BigDecimal rounded = exact.round(new MathContext(digits, RoundingMode.HALF_EVEN));
      if (unit != Unit.ONE && unit != Unit.PERCENT && rounded.scale() > 3) {
        rounded = exact.setScale(3, RoundingMode.HALF_EVEN);
      }
      return join(plain(rounded), unit.symbol());
    }
    BigDecimal rounded = exact.round(new MathContext(digits, RoundingMode.HALF_EVEN));
    int magnitude = rounded.precision() - rounded.scale() - 1;
    Prefix best = Prefix.PICO;
    for (Prefix prefix : Prefix.values()) {
      if (prefix.exponent() <= magnitude) {
        best = prefix;
        break;
      }
    }
    return join(plain(rounded.scaleByPowerOfTen(-best.exponent())), best.symbol() + unit.symbol());
  }

  private static String plain(BigDecimal number) {
    BigDecimal stripped = number.stripTrailingZeros();
    boolean readable = stripped.precision() - stripped.scale() <= 15 && stripped.scale() <= 15;
    return readable ? stripped.toPlainString() : stripped.toString();
  }

  private static String join(String number, String symbol) {
    return symbol.isEmpty() ? number : number + " " + symbol;
  }
}
