package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.web.Access;
import kitproof.web.Encryption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** The shop's dashboard: listens to a broker and serves pages; touches no station. */
@Command(
    name = "board",
    mixinStandardHelpOptions = true,
    description =
        "Shows in a browser what the stations of a shop are doing, and the results of their units,"
            + " from what they tell an MQTT broker. Stays until stopped (Ctrl-C).",
    footer = {
      "",
      "It listens on this machine only, unless --listen says otherwise; then a token is",
      "needed, in KITPROOF_BOARD_TOKEN or as the first line of the file named by",
      "KITPROOF_BOARD_TOKEN_FILE. Without --certificate and --key the token crosses the",
      "network readable: use it in a net you trust, or behind a proxy that encrypts.",
      "",
      "The broker's user and password come from the environment, as for 'run'.",
      "",
      "Examples:",
      "  kitproof board --broker mqtt://broker.shop.example:1883",
      "  KITPROOF_BOARD_TOKEN_FILE=/etc/kitproof/token kitproof board \\",
      "      --broker mqtts://broker.shop.example --listen 0.0.0.0 --port 8443 \\",
      "      --certificate board.pem --key board-key.pem"
    })
final class BoardCommand implements Callable<Integer> {
  static final int USUAL_PORT = 8417;
  private static final String TOKEN = "KITPROOF_BOARD_TOKEN";

  @Spec private CommandSpec spec;

  @Option(
      names = "--broker",
      required = true,
      paramLabel = "URL",
      description = "MQTT broker: mqtt://host:port or mqtts://host:port.")
  private String broker = "";

  @Mixin private ListenOptions listening = new ListenOptions(USUAL_PORT, TOKEN);

  @Mixin private EncryptionOptions encryption = new EncryptionOptions();

  @Override
  public Integer call() throws IOException, InterruptedException {
    BrokerAddress address = Brokers.address(spec.commandLine(), broker);
    Access access = listening.access(spec.commandLine());
    Encryption certificate = encryption.read(spec.commandLine());
    CountDownLatch stopped = new CountDownLatch(1);
    Signals.handle(stopped::countDown);
    PrintWriter out = spec.commandLine().getOut();
    try (ShopBoard board =
        ShopBoard.open(address, Credentials.from(System.getenv()), access, certificate)) {
      out.println("board: " + board.address() + " (from " + address + ")");
      out.flush();
      stopped.await();
    }
    return ExitCodes.GOOD;
  }
}
