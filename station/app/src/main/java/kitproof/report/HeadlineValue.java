package kitproof.report;

import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.value.Figure;
import kitproof.value.Quantity;

/** A figure with the digits that a customer can use. */
final class HeadlineValue {
  /** Digits before the point, after it, and the unit. */
  private static final Pattern NUMBER = Pattern.compile("(-?\\d+)\\.?(\\d*)(\\D*)");

  private static final int DIGITS = 3;

  private HeadlineValue() {}

  static String of(Figure figure) {
    return figure instanceof Figure.OfQuantity one ? Wording.set(text(one.quantity())) : "invalid";
  }

  private static String text(Quantity quantity) {
    boolean level = quantity.unit().symbol().startsWith("dB");
    return level && Math.abs(quantity.value()) < 1
        ? hundredths(quantity)
        : padded(quantity.display(DIGITS));
  }

  /** Levels have no smallest digit that counts: near 0 dB a hundredth is as fine as one can use. */
  private static String hundredths(Quantity level) {
    double rounded = Math.round(level.value() * 100) / 100.0; // of a whole number: never minus zero
    return String.format(Locale.ROOT, "%.2f %s", rounded, level.unit().symbol());
  }

  /** "26.0 dB" beside "27.2 dB": zeros at the end count as well. */
  private static String padded(String text) {
    Matcher number = NUMBER.matcher(text);
    if (!number.matches()) {
      return text;
    }
    String fraction = number.group(2);
    String digits = (number.group(1) + fraction).replaceFirst("^-?0*", "");
    int missing = DIGITS - digits.length();
    return missing <= 0 || digits.isEmpty()
        ? text
        : number.group(1) + "." + fraction + "0".repeat(missing) + number.group(3);
  }
}
