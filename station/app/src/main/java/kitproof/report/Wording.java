package kitproof.report;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.regex.Pattern;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** What a record says, as it is set in type: with Ω, true minus signs and units that stay put. */
final class Wording {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMMM uuuu", Locale.ENGLISH).withZone(ZoneOffset.UTC);
  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("d MMMM uuuu, HH:mm 'UTC'", Locale.ENGLISH)
          .withZone(ZoneOffset.UTC);
  private static final Pattern MINUS = Pattern.compile("(?<![\\w.)\u2212-])-(?=\\d)");
  private static final Pattern OHM = Pattern.compile("(?<=\\d) ([kMm]?)ohm\\b");
  private static final Pattern MICRO = Pattern.compile("(?<=\\d) u(?=[VAWsFH]\\b)");
  private static final Pattern DEGREE = Pattern.compile("(?<=\\d) deg\\b");
  private static final Pattern BEFORE_UNIT =
      Pattern.compile(
          "(?<=\\d) (?=(?:[pnumkMG]?(?:V|A|W|Hz|s|F|H|\u03a9)|dB|dBV|%|\u00b0C|V/s)(?![\\w/]))");

  private Wording() {}

  /** Any text of a record. */
  static String set(String text) {
    String words = MINUS.matcher(text).replaceAll("\u2212");
    words = OHM.matcher(words).replaceAll("\u00a0$1\u03a9");
    words = MICRO.matcher(words).replaceAll("\u00a0\u00b5");
    words = DEGREE.matcher(words).replaceAll("\u00b0");
    return BEFORE_UNIT.matcher(words).replaceAll("\u00a0");
  }

  static String of(Quantity quantity) {
    return set(quantity.display());
  }

  static String of(Figure figure) {
    if (figure instanceof Figure.OfQuantity one) {
      return of(one.quantity());
    }
    if (figure instanceof Figure.OfCurve) {
      return "curve";
    }
    return "invalid";
  }

  /** "ultralinear · 8 Ω · left": values alone where they speak for themselves. */
  static String of(Conditions conditions) {
    StringBuilder words = new StringBuilder();
    conditions
        .values()
        .forEach(
            (name, value) -> {
              boolean plain = name.equals("mode") || name.equals("channel") || name.equals("point");
              words
                  .append(words.length() == 0 ? "" : " \u00b7 ")
                  .append(plain ? value : name + " " + value);
            });
    return set(words.toString());
  }

  /** What is good; empty if nothing limits it. */
  static String of(@Nullable Limit limit) {
    if (limit instanceof Limit.Mask) {
      return "mask";
    }
    if (!(limit instanceof Limit.Scalar scalar)) {
      return "";
    }
    Quantity low = scalar.low();
    Quantity high = scalar.high();
    if (low == null) {
      return high == null ? "" : "\u2264\u00a0" + of(high);
    }
    return high == null ? "\u2265\u00a0" + of(low) : of(low) + " to\u00a0" + of(high);
  }

  static String day(Instant time) {
    return DAY.format(time);
  }

  static String minute(Instant time) {
    return MINUTE.format(time);
  }

  static String capital(String words) {
    return words.isEmpty()
        ? words
        : words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1);
  }
}
