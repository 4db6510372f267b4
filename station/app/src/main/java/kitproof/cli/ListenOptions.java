package kitproof.cli;

import java.io.IOException;
import kitproof.web.Access;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Where a server of pages listens, and whom it admits. */
final class ListenOptions {
  private final String token;

  @Option(
      names = "--listen",
      paramLabel = "ADDRESS",
      description = "Address to serve on (default: ${DEFAULT-VALUE}).")
  private String listen = "127.0.0.1";

  @Option(
      names = "--port",
      paramLabel = "N",
      description = "Port to serve on, 0 for a free one (default: ${DEFAULT-VALUE}).")
  private int port;

  /**
   * For a server.
   *
   * @param usualPort where it is expected
   * @param token the environment variable that holds its token
   */
  ListenOptions(int usualPort, String token) {
    this.port = usualPort;
    this.token = token;
  }

  /** Both, with the token where there is one. */
  Access access(CommandLine command) throws IOException {
    try {
      return new Access(listen, port, Token.from(System.getenv(), token));
    } catch (IllegalArgumentException e) {
      throw new ParameterException(
          command, "--listen " + listen + " --port " + port + ": expected " + e.getMessage(), e);
    }
  }
}
