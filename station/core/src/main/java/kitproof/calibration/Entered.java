package kitproof.calibration;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.document.Located;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What a person enters for a new calibration file: who calibrates, and of the instruments
 * themselves what their papers say.
 *
 * @param by who calibrates; may be empty
 * @param certificates of several of one role the last one counts
 * @param accuracies of several of one function the last one counts
 */
public record Entered(String by, List<Certificate> certificates, List<Accuracy> accuracies) {
  /** Nothing at all. */
  public static final Entered NOTHING = new Entered(List.of(), List.of());

  public Entered {
    certificates = List.copyOf(certificates);
    accuracies = List.copyOf(accuracies);
  }

  /** Of the instruments only. */
  public Entered(List<Certificate> certificates, List<Accuracy> accuracies) {
    this("", certificates, accuracies);
  }

  /** The same by this person. */
  public Entered by(String person) {
    return new Entered(person, certificates, accuracies);
  }

  /**
   * A certificate of an instrument.
   *
   * @param role the instrument
   * @param number the certificate's
   * @param date the day of the calibration
   * @param due the last day on which it holds
   * @param by the laboratory
   */
  public record Certificate(String role, String number, LocalDate date, LocalDate due, String by) {}

  /**
   * Limits of error of one function of a meter.
   *
   * @param role the meter
   * @param function as the bench file calls it
   * @param limits as the maker states them: "±(0.05 % + 3 digits)"
   * @param resolution what one count of the last digit is; null where the limits do not need it
   * @param range full scale of the range in use; null where the limits do not need it
   */
  public record Accuracy(
      String role,
      String function,
      String limits,
      @Nullable Quantity resolution,
      @Nullable Quantity range) {}

  /** The certificate of a role. */
  Optional<Certificate> certificate(String role) {
    return certificates.stream()
        .filter(entered -> entered.role().equals(role))
        .reduce((first, second) -> second);
  }

  /** Roles that anything is entered of. */
  public List<String> roles() {
    List<String> roles = new ArrayList<>();
    certificates.forEach(each -> roles.add(each.role()));
    accuracies.forEach(each -> roles.add(each.role()));
    return roles.stream().distinct().toList();
  }

  /**
   * What is wrong with it by itself, as a calibration file would refuse it.
   *
   * @param place for the messages
   */
  public List<Problem> problems(Location place) {
    List<Problem> problems = new ArrayList<>();
    for (Certificate each : certificates) {
      if (each.due.isBefore(each.date)) {
        problems.add(
            Problem.of(
                place,
                "a certificate of " + each.role + " that is due on " + each.due,
                "a day not before its date, " + each.date));
      }
    }
    for (Accuracy each : accuracies) {
      unitless("resolution", each.resolution, place).ifPresent(problems::add);
      unitless("range", each.range, place).ifPresent(problems::add);
      problems.addAll(
          new CalibrationDocument.Accuracy(
                  each.function, new Located<>(place, each.limits), each.resolution, each.range)
              .problems(place));
    }
    return problems;
  }

  /** One without a unit would fit no reading, and the limits then count for nothing. */
  private static Optional<Problem> unitless(
      String what, @Nullable Quantity quantity, Location place) {
    return quantity != null && quantity.unit() == Unit.ONE
        ? Optional.of(
            Problem.of(place, what + ": " + quantity + " without a unit", "such as 100 V"))
        : Optional.empty();
  }
}
