package kitproof.cli;

import kitproof.mqtt.Outlook;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** The batch that units belong to, and how many it will have. */
final class BatchOptions {
  @Option(names = "--batch", paramLabel = "NAME", description = "The batch that units belong to.")
  private String name = "";

  @Option(
      names = "--batch-size",
      paramLabel = "N",
      description = "How many units the batch will have, for who watches its expected end.")
  private @Nullable Integer size;

  /**
   * Refuses what is none.
   *
   * @throws ParameterException for the command line
   */
  void require(CommandLine command) {
    Serial.requirePrintable(command, "--batch", name);
    Integer units = size;
    if (units == null) {
      return;
    }
    if (units < 1 || units > Outlook.LARGEST) {
      throw new ParameterException(
          command, "--batch-size: found " + units + "; expected 1 to " + Outlook.LARGEST);
    }
    if (name.isEmpty()) {
      throw new ParameterException(
          command, "--batch-size: found no --batch; expected the batch that has this size");
    }
  }

  /** Its name; empty if none was named. */
  String name() {
    return name;
  }

  /**
   * For those who watch.
   *
   * @param pace of the bench
   * @param simulated whether it is
   */
  Outlook outlook(double pace, boolean simulated) {
    Integer units = size;
    return new Outlook(units == null ? 0 : units, name, pace, simulated);
  }
}
