package kitproof.web;

import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import kitproof.board.Board;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.mqtt.Listener;
import kitproof.mqtt.Topics;
import org.jspecify.annotations.Nullable;

/** A board that listens to a broker on this machine and serves its pages. */
final class Shop implements AutoCloseable {
  private final Listener listener;
  private final BoardServer server;

  Shop(int brokerPort, Access access) throws IOException {
    this(brokerPort, access, null);
  }

  Shop(int brokerPort, Access access, @Nullable Encryption encryption) throws IOException {
    Board board = new Board(Instant::now);
    server = BoardServer.start(board, access, encryption);
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
    listener =
        Listener.start(
            new BrokerAddress(false, "127.0.0.1", brokerPort),
            Credentials.NONE,
            Topics.DASHBOARD,
            ear);
  }

  static Shop open(int brokerPort) throws IOException {
    return new Shop(brokerPort, new Access("127.0.0.1", 0, null));
  }

  String address() {
    return server.address();
  }

  @Override
  public void close() {
    listener.close();
    server.close();
  }
}
