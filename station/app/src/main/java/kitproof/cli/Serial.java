package kitproof.cli;

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
    if (unit.isBlank() || !unit.equals(unit.strip())) {
      throw new ParameterException(
          command, "--unit: found \"" + unit + "\"; expected a serial number");
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
}
