package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.web.Access;
import kitproof.web.Encryption;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
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
  private static final String TOKEN_FILE = "KITPROOF_BOARD_TOKEN_FILE";

  @Spec private CommandSpec spec;

  @Option(
      names = "--broker",
      required = true,
      paramLabel = "URL",
      description = "MQTT broker: mqtt://host:port or mqtts://host:port.")
  private String broker = "";

  @Option(
      names = "--listen",
      paramLabel = "ADDRESS",
      defaultValue = "127.0.0.1",
      description = "Address to serve on (default: ${DEFAULT-VALUE}).")
  private String listen = "";

  @Option(
      names = "--port",
      paramLabel = "N",
      defaultValue = "" + USUAL_PORT,
      description = "Port to serve on, 0 for a free one (default: ${DEFAULT-VALUE}).")
  private int port;

  @Option(
      names = "--certificate",
      paramLabel = "FILE",
      description =
          "Serve by TLS (https) only: PEM file of the board's certificate, then of those that"
              + " lead to its authority.")
  private @Nullable Path certificate;

  @Option(
      names = "--key",
      paramLabel = "FILE",
      description = "PEM file of the certificate's private key (PKCS #8, not encrypted).")
  private @Nullable Path key;

  @Override
  public Integer call() throws IOException, InterruptedException {
    BrokerAddress address = RunCommand.address(spec.commandLine(), broker);
    Access access;
    try {
      access = new Access(listen, port, token(System.getenv()));
    } catch (IllegalArgumentException e) {
      throw new ParameterException(
          spec.commandLine(),
          "--listen " + listen + " --port " + port + ": expected " + e.getMessage(),
          e);
    }
    Encryption encryption = encryption();
    CountDownLatch stopped = new CountDownLatch(1);
    Signals.handle(stopped::countDown);
    PrintWriter out = spec.commandLine().getOut();
    try (ShopBoard board =
        ShopBoard.open(address, Credentials.from(System.getenv()), access, encryption)) {
      out.println("board: " + board.address() + " (from " + address + ")");
      out.flush();
      stopped.await();
    }
    return ExitCodes.GOOD;
  }

  private @Nullable Encryption encryption() {
    Path certificates = certificate;
    Path secret = key;
    if (certificates == null && secret == null) {
      return null;
    }
    if (certificates == null || secret == null) {
      throw new ParameterException(
          spec.commandLine(), "found one of --certificate and --key; expected both");
    }
    try {
      return Encryption.read(certificates, secret);
    } catch (IOException e) {
      throw new ParameterException(spec.commandLine(), String.valueOf(e.getMessage()), e);
    }
  }

  private static @Nullable String token(Map<String, String> environment) throws IOException {
    String token = environment.get(TOKEN);
    String file = environment.get(TOKEN_FILE);
    if (token == null && file != null) {
      List<String> lines = Files.readAllLines(Path.of(file));
      return lines.isEmpty() ? "" : lines.get(0).strip();
    }
    return token;
  }
}
