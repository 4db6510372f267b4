package kitproof.driver.serialmeter;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * A number as an instrument answers it: a value, an overload or not a number.
 *
 * <p>Talkers send NR1, NR2 or NR3 (IEEE 488.2-1992, 8.7.2 to 8.7.4); what a listener must accept
 * (7.7.2.4) is accepted too. The special numbers are those of SCPI-1999 Volume 1, 7.2.1.4 and
 * 7.2.1.5. Anything else from 9.9E37 on is no reading of any instrument and is refused.
 */
record ScpiNumber(Kind kind, double value) {
  /** What it is. */
  enum Kind {
    VALUE,
    OVERLOAD,
    NEGATIVE_OVERLOAD,
    NOT_A_NUMBER
  }

  private static final Pattern FORM =
      Pattern.compile("[+-]?(\\d+\\.?\\d*|\\.\\d+)(\\s*[eE]\\s*[+-]?\\d{1,5})?");
  private static final BigDecimal INFINITY = new BigDecimal("9.9E37");
  private static final BigDecimal NOT_A_NUMBER = new BigDecimal("9.91E37");

  /** Reads an answer; null if it is no number. */
  static @Nullable ScpiNumber parse(String answer) {
    String text = answer.strip();
    if (!FORM.matcher(text).matches()) {
      return null;
    }
    BigDecimal number = new BigDecimal(digits(text));
    if (number.compareTo(NOT_A_NUMBER) == 0) {
      return new ScpiNumber(Kind.NOT_A_NUMBER, 0);
    }
    int beyond = number.abs().compareTo(INFINITY);
    if (beyond == 0) {
      return new ScpiNumber(number.signum() > 0 ? Kind.OVERLOAD : Kind.NEGATIVE_OVERLOAD, 0);
    }
    return beyond > 0 ? null : new ScpiNumber(Kind.VALUE, number.doubleValue());
  }

  private static String digits(String text) {
    String plain = text.replaceAll("\\s", "").toUpperCase(Locale.ROOT);
    return plain.replace(".E", "E").replaceAll("\\.$", "");
  }
}
