package kitproof.cli;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import kitproof.plan.Plan;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/** Serial numbers as a person types them. */
final class Serial {
  private Serial() {}

  /**
   * Refuses a serial number that is not the plan's kind.
   *
   * @throws ParameterException for the command line
   */
  static void require(CommandLine command, Plan plan, String unit, List<String> known) {
    requirePrintable(command, "--unit", unit);
    wrong(plan, unit, known)
        .ifPresent(
            message -> {
              throw new ParameterException(command, "--unit: " + message);
            });
  }

  /**
   * Why this is no serial number of the plan's kind, with the nearest that is; empty if it is one.
   *
   * @param known serial numbers that have been here before
   */
  static Optional<String> wrong(Plan plan, String unit, List<String> known) {
    if (unit.isBlank() || !unit.equals(unit.strip())) {
      return Optional.of(
          "found \"" + unit + "\"; expected a serial number without spaces at its ends");
    }
    return plan.serial()
        .filter(pattern -> !pattern.matcher(unit).matches())
        .map(
            pattern ->
                "found \""
                    + unit
                    + "\"; expected a serial number of "
                    + plan.product()
                    + ", which matches "
                    + pattern
                    + SerialHint.nearest(pattern, unit, known)
                        .map(near -> "; did you mean \"" + near + "\"?")
                        .orElse(""));
  }

  /**
   * Refuses control characters: words of the command line reach terminals and records.
   *
   * @throws ParameterException for the command line
   */
  static void requirePrintable(CommandLine command, String option, String words) {
    unprintable(words)
        .ifPresent(
            why -> {
              throw new ParameterException(command, option + ": " + why);
            });
  }

  /** Why these words cannot be taken, if they hold control characters; empty if they do not. */
  static Optional<String> unprintable(String words) {
    return words
        .chars()
        .filter(Character::isISOControl)
        .mapToObj(
            control ->
                String.format(
                    Locale.ROOT,
                    "found the control character U+%04X; expected printable text",
                    control))
        .findFirst();
  }
}
