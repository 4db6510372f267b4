package kitproof.screen;

import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.List;
import kitproof.calibration.Entered;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * What a page says of who calibrates and of the papers of the instruments, as it was typed.
 *
 * @param by who calibrates
 * @param certificates of instruments
 * @param accuracies limits of error of meters
 */
record Papers(
    @Nullable String by,
    @Nullable List<Certificate> certificates,
    @Nullable List<Accuracy> accuracies) {
  /** A certificate; days as 2027-05-31. */
  record Certificate(
      @Nullable String role,
      @Nullable String number,
      @Nullable String date,
      @Nullable String due,
      @Nullable String by) {}

  /** Limits of error of one function; resolution and range with their units, empty if not given. */
  record Accuracy(
      @Nullable String role,
      @Nullable String function,
      @Nullable String limits,
      @Nullable String resolution,
      @Nullable String range) {}

  /**
   * What was typed, understood.
   *
   * @param said null if nothing was
   * @throws IllegalArgumentException with what was found and expected
   */
  static Entered entered(@Nullable Papers said) {
    if (said == null) {
      return Entered.NOTHING;
    }
    List<Certificate> certificates = said.certificates == null ? List.of() : said.certificates;
    List<Accuracy> accuracies = said.accuracies == null ? List.of() : said.accuracies;
    return new Entered(
        text(said.by),
        certificates.stream().map(Papers::certificate).toList(),
        accuracies.stream().map(Papers::accuracy).toList());
  }

  private static Entered.Certificate certificate(Certificate typed) {
    String role = text(typed.role);
    String number = text(typed.number);
    String by = text(typed.by);
    if (number.isEmpty() || by.isEmpty()) {
      throw new IllegalArgumentException(
          "certificate of "
              + role
              + ": found no "
              + (number.isEmpty() ? "number" : "laboratory")
              + "; expected it as the paper has it");
    }
    return new Entered.Certificate(role, number, day(role, typed.date), day(role, typed.due), by);
  }

  private static LocalDate day(String role, @Nullable String typed) {
    try {
      return LocalDate.parse(text(typed));
    } catch (DateTimeParseException e) {
      throw new IllegalArgumentException(
          "certificate of "
              + role
              + ": found \""
              + text(typed)
              + "\"; expected a day, such as 2027-05-31",
          e);
    }
  }

  private static Entered.Accuracy accuracy(Accuracy typed) {
    String role = text(typed.role);
    return new Entered.Accuracy(
        role,
        text(typed.function),
        text(typed.limits),
        quantity(role, "resolution", typed.resolution),
        quantity(role, "range", typed.range));
  }

  private static @Nullable Quantity quantity(String role, String what, @Nullable String typed) {
    String text = text(typed);
    if (text.isEmpty()) {
      return null;
    }
    try {
      return Quantity.parse(text);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(
          what
              + " of "
              + role
              + ": found \""
              + text
              + "\"; expected a quantity with its unit, such as 0.1 V",
          e);
    }
  }

  private static String text(@Nullable String typed) {
    return Spoken.printable(Spoken.orEmpty(typed)).strip();
  }
}
