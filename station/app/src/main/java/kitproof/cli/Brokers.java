package kitproof.cli;

import kitproof.mqtt.BrokerAddress;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/** A broker's address on the command line. */
final class Brokers {
  private Brokers() {}

  /**
   * Reads the value of {@code --broker}.
   *
   * @throws ParameterException with what was expected, and never with a password
   */
  static BrokerAddress address(CommandLine command, String text) {
    try {
      return BrokerAddress.parse(text);
    } catch (IllegalArgumentException e) {
      String found = text.contains("@") ? "" : "found \"" + text + "\"; ";
      throw new ParameterException(command, "--broker: " + found + "expected " + e.getMessage(), e);
    }
  }
}
