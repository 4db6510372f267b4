package kitproof.web;

import java.io.IOException;
import kitproof.cli.ShopBoard;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import org.jspecify.annotations.Nullable;

/** The program's board at a broker on this machine. */
final class Shop implements AutoCloseable {
  private final ShopBoard board;

  Shop(int brokerPort, Access access) throws IOException {
    this(brokerPort, access, null);
  }

  Shop(int brokerPort, Access access, @Nullable Encryption encryption) throws IOException {
    board =
        ShopBoard.open(
            new BrokerAddress(false, "127.0.0.1", brokerPort),
            Credentials.NONE,
            access,
            encryption);
  }

  static Shop open(int brokerPort) throws IOException {
    return new Shop(brokerPort, new Access("127.0.0.1", 0, null));
  }

  String address() {
    return board.address();
  }

  @Override
  public void close() {
    board.close();
  }
}
