package kitproof.cli;

import java.util.Locale;
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
  static void require(CommandLine command, Plan plan, String unit) {
    requirePrintable(command, "--unit", unit);
    if (unit.isBlank() || !unit.equals(unit.strip())) {
      throw new ParameterException(
          command,
          "--unit: found \"" + unit + "\"; expected a serial number without spaces at its ends");
    }
    plan.serial()
        .filter(pattern -> !pattern.matcher(unit).matches())
        .ifPresent(
            pattern -> {
              throw new ParameterException(
                  command,
                  "--unit: found \""
                      + unit
                      + "\"; expected a serial number of "
                      + plan.product()
                      + ", which matches "
                      + pattern);
            });
  }

  /**
   * Refuses control characters: words of the command line reach terminals and records.
   *
   * @throws ParameterException for the command line
   */
  static void requirePrintable(CommandLine command, String option, String words) {
    words
        .chars()
        .filter(Character::isISOControl)
        .findFirst()
        .ifPresent(
            control -> {
              throw new ParameterException(
                  command,
                  String.format(
                      Locale.ROOT,
                      "%s: found the control character U+%04X; expected printable text",
                      option,
                      control));
            });
  }
}
