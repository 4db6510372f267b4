package kitproof.cli;

import java.io.IOException;
import java.time.Duration;
import kitproof.board.Board;
import kitproof.driver.BenchClock;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.mqtt.Listener;
import kitproof.mqtt.Topics;
import kitproof.web.Access;
import kitproof.web.BoardServer;
import kitproof.web.Encryption;
import org.jspecify.annotations.Nullable;

/** A board with its ear at a broker and its pages in front. */
public final class ShopBoard implements AutoCloseable {
  private static final String LOOPBACK = "127.0.0.1";

  private final Listener listener;
  private final BoardServer server;

  private ShopBoard(Listener listener, BoardServer server) {
    this.listener = listener;
    this.server = server;
  }

  /**
   * Starts; the broker may be away, and come later.
   *
   * @param encryption of the pages, or null
   * @throws IOException if the pages cannot be served there
   */
  public static ShopBoard open(
      BrokerAddress broker, Credentials credentials, Access access, @Nullable Encryption encryption)
      throws IOException {
    BenchClock clock = new SystemBenchClock(1);
    Board board = new Board(clock::now);
    Listener.Ear ear =
        new Listener.Ear() {
          @Override
          public void message(String topic, byte[] payload) {
            board.message(topic, payload);
          }

          @Override
          public void will(String topic, byte[] payload, Duration age) {
            board.message(topic, payload, age);
          }

          @Override
          public void link(@Nullable String trouble) {
            board.link(trouble);
          }
        };
    // It hears while the server starts, and then has something to show at once.
    Listener listener = Listener.start(broker, credentials, Topics.DASHBOARD, ear);
    try {
      return new ShopBoard(listener, BoardServer.start(board, access, encryption));
    } catch (IOException | RuntimeException e) {
      listener.close();
      throw e;
    }
  }

  /**
   * Starts for this machine only, on a port or, if that is taken, on a free one.
   *
   * @throws IOException if the pages cannot be served at all
   */
  static ShopBoard open(BrokerAddress broker, Credentials credentials, int port)
      throws IOException {
    try {
      return open(broker, credentials, new Access(LOOPBACK, port, null), null);
    } catch (IOException e) {
      return open(broker, credentials, new Access(LOOPBACK, 0, null), null);
    }
  }

  /** Where to look. */
  public String address() {
    return server.address();
  }

  @Override
  public void close() {
    listener.close();
    server.close();
  }
}
