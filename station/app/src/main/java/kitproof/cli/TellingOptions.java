package kitproof.cli;

import java.nio.file.Path;
import kitproof.mqtt.BrokerAddress;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;

/** Where a station keeps what it has measured, and whom it tells. */
final class TellingOptions {
  @Option(
      names = "--broker",
      paramLabel = "URL",
      description =
          "MQTT broker: mqtt://host:port or mqtts://host:port. Without it the broker in this"
              + " program is used.")
  private @Nullable String broker;

  @Option(
      names = "--records",
      paramLabel = "DIR",
      description = "Folder of journals and records (default: ${DEFAULT-VALUE}).")
  private Path records;

  /**
   * For a command.
   *
   * @param usualRecords the folder that it uses if none is named
   */
  TellingOptions(String usualRecords) {
    records = Path.of(usualRecords);
  }

  /** The folder of journals and records, which may not be there yet. */
  Path records() {
    return records;
  }

  /**
   * The broker, or null for the one in this program.
   *
   * @throws picocli.CommandLine.ParameterException if it is no broker's address
   */
  @Nullable BrokerAddress broker(CommandLine command) {
    String named = broker;
    return named == null ? null : Brokers.address(command, named);
  }
}
