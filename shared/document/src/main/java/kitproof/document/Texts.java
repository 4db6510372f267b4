package kitproof.document;

import java.lang.reflect.ParameterizedType;
import java.lang.reflect.Type;
import java.math.BigDecimal;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import kitproof.driver.Settings;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/** The kinds of value that are written as one text, and how to tell people what is expected. */
final class Texts {
  static final String WHOLE = "[+-]?(0|[1-9][0-9]*)";
  static final String DAY = "[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])";
  static final String DECIMAL = "[+-]?(0|[1-9][0-9]*)?(\\.[0-9]+)?([eE][+-]?[0-9]+)?";

  private static final Set<Class<?>> KINDS =
      Set.of(
          String.class,
          int.class,
          Integer.class,
          double.class,
          Double.class,
          boolean.class,
          Boolean.class,
          Duration.class,
          LocalDate.class,
          Quantity.class,
          QuantityRange.class);
  private static final Pattern LEADING_ZERO = Pattern.compile("[+-]?0[0-9].*");

  private Texts() {}

  static boolean reads(Class<?> type) {
    return type.isEnum() || KINDS.contains(type);
  }

  static List<String> words(Class<?> type) {
    return Arrays.stream(type.getEnumConstants()).map(Object::toString).toList();
  }

  /**
   * Reads one text; not for enums.
   *
   * @throws IllegalArgumentException with what was expected
   */
  static Object parse(String text, Slot slot, Class<?> type) {
    if (type == String.class) {
      return text;
    }
    if (type == boolean.class || type == Boolean.class) {
      if (text.equals("true") || text.equals("false")) {
        return text.equals("true");
      }
      throw new IllegalArgumentException(expected(slot, type));
    }
    if (type == LocalDate.class) {
      try {
        return LocalDate.parse(text);
      } catch (DateTimeException e) {
        throw new IllegalArgumentException(expected(slot, type), e);
      }
    }
    if (LEADING_ZERO.matcher(text).matches()) {
      throw new IllegalArgumentException(expected(slot, type) + ", without a leading zero");
    }
    try {
      return number(text, slot, type);
    } catch (IllegalArgumentException | ArithmeticException e) {
      throw new IllegalArgumentException(expected(slot, type), e);
    }
  }

  private static Object number(String text, Slot slot, Class<?> type) {
    if (type == Quantity.class) {
      Quantity quantity = Quantity.parse(text);
      require(slot.units().isEmpty() || slot.units().contains(quantity.unit()));
      require(slot.holds(quantity.value()));
      return quantity;
    }
    if (type == QuantityRange.class) {
      QuantityRange range = range(text, slot);
      require(slot.holds(range.low().value()) && slot.holds(range.high().value()));
      return range;
    }
    if (type == Duration.class) {
      Duration duration = Settings.parseDuration(text);
      require(slot.holds(duration.toNanos() / 1e9));
      return duration;
    }
    if (type == int.class || type == Integer.class) {
      require(text.matches(WHOLE));
      int value = new BigDecimal(text).intValueExact();
      require(slot.holds(value));
      return value;
    }
    require(text.matches(DECIMAL));
    double value = Double.parseDouble(text);
    require(Double.isFinite(value) && slot.holds(value));
    return value;
  }

  private static QuantityRange range(String text, Slot slot) {
    List<Unit> units = slot.units().isEmpty() ? List.of(Unit.values()) : slot.units();
    Unit written = Quantity.parse(text.substring(0, Math.max(0, text.indexOf("..")))).unit();
    require(units.contains(written));
    return QuantityRange.parse(text, written);
  }

  private static void require(boolean good) {
    if (!good) {
      throw new IllegalArgumentException("out of bounds or of another kind");
    }
  }

  /** A phrase for a problem. */
  static String expected(Slot slot, Type type) {
    if (type instanceof ParameterizedType generic) {
      if (generic.getRawType() == Located.class) {
        return expected(slot, generic.getActualTypeArguments()[0]);
      }
      return generic.getRawType() == List.class ? "a list" : "a section";
    }
    Class<?> plain = (Class<?>) type;
    if (plain == Quantity.class) {
      return quantity(slot.units()) + bounds(slot, true);
    }
    if (plain == QuantityRange.class) {
      return range(slot.units()) + bounds(slot, true);
    }
    if (plain == Duration.class) {
      return "a time, such as \"500 ms\"" + bounds(slot, true);
    }
    if (plain == LocalDate.class) {
      return "a day, such as 2027-05-31";
    }
    if (plain == int.class || plain == Integer.class) {
      return "a whole number" + bounds(slot, false);
    }
    if (plain == double.class || plain == Double.class) {
      return "a number" + bounds(slot, false);
    }
    if (plain == boolean.class || plain == Boolean.class) {
      return "true or false";
    }
    if (plain.isEnum()) {
      return "one of " + String.join(", ", words(plain));
    }
    return plain == String.class ? "text" : "a section";
  }

  private static String quantity(List<Unit> units) {
    if (units.isEmpty()) {
      return "a number with its unit, such as \"435 V\"";
    }
    if (units.size() == 1) {
      return Quantity.expectation(units.get(0));
    }
    return "a quantity in " + symbols(units) + ", such as \"10 " + units.get(0).symbol() + "\"";
  }

  private static String range(List<Unit> units) {
    Unit first = units.isEmpty() ? Unit.HERTZ : units.get(0);
    String example = "\"" + Quantity.of(20, first) + ".." + Quantity.of(200, first) + "\"";
    String in = units.isEmpty() ? "" : " in " + symbols(units);
    return "a range" + in + ", low end first, such as " + example;
  }

  private static String symbols(List<Unit> units) {
    return units.stream().map(Unit::symbol).collect(Collectors.joining(" or "));
  }

  private static String bounds(Slot slot, boolean withUnit) {
    boolean low = slot.low() > Double.NEGATIVE_INFINITY;
    boolean high = slot.high() < Double.POSITIVE_INFINITY;
    String text =
        (low ? " from " + bound(slot, slot.low(), withUnit) : "")
            + (high ? (low ? " to " : " up to ") + bound(slot, slot.high(), withUnit) : "");
    return text.isEmpty() || !withUnit ? text : "," + text;
  }

  private static String bound(Slot slot, double value, boolean withUnit) {
    Unit unit = !withUnit ? Unit.ONE : slot.units().isEmpty() ? Unit.SECOND : slot.units().get(0);
    return Quantity.of(value, unit).display();
  }
}
