package kitproof.cli;

import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;

/**
 * Reads what was given for an option, or says what was found and what was expected.
 *
 * @param spec the command
 */
record OptionText(CommandSpec spec) {
  /** A quantity above zero in the plain unit. */
  double positive(String option, String text, Unit unit) {
    double value = parsed(option, text, unit);
    if (value > 0) {
      return value;
    }
    throw wrong(option, text, Quantity.expectation(unit) + ", above zero");
  }

  /** As {@link #positive}, or zero. */
  double notNegative(String option, String text, Unit unit) {
    double value = parsed(option, text, unit);
    if (value >= 0) {
      return value;
    }
    throw wrong(option, text, Quantity.expectation(unit) + ", zero or more");
  }

  private double parsed(String option, String text, Unit unit) {
    try {
      return Quantity.parse(text, unit).value();
    } catch (IllegalArgumentException e) {
      throw wrong(option + ": found \"" + text + "\"; expected " + e.getMessage(), e);
    }
  }

  /** A band of frequencies that is wider than one. */
  QuantityRange band(String option, String text) {
    QuantityRange range;
    try {
      range = QuantityRange.parse(text, Unit.HERTZ);
    } catch (IllegalArgumentException e) {
      throw wrong(option + ": found \"" + text + "\"; expected " + e.getMessage(), e);
    }
    if (range.low().value() < 0 || range.low().equals(range.high())) {
      throw wrong(
          option,
          text,
          "a range in Hz from 0 Hz up, with room between its ends, such as \"20 Hz..20 kHz\"");
    }
    return range;
  }

  /** A whole number from one to another. */
  int within(String option, int found, int low, int high) {
    if (found < low || found > high) {
      throw wrong(option + ": found " + found + "; expected " + low + " to " + high, null);
    }
    return found;
  }

  /** Says that an option's text is wrong. */
  ParameterException wrong(String option, String text, String expected) {
    return wrong(option + ": found \"" + text + "\"; expected " + expected, null);
  }

  /** Says that something that was given is wrong. */
  ParameterException wrong(String message, @Nullable Exception cause) {
    return cause == null
        ? new ParameterException(spec.commandLine(), message)
        : new ParameterException(spec.commandLine(), message, cause);
  }
}
