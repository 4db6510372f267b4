package kitproof.mqtt;

import java.util.Set;
import kitproof.address.ServerAddress;

/**
 * Where a broker is: {@code mqtt://host:port} or, encrypted, {@code mqtts://host:port}.
 *
 * @param encrypted whether TLS is spoken
 * @param host name or address
 * @param port 1 to 65535
 */
public record BrokerAddress(boolean encrypted, String host, int port) {
  private static final ServerAddress.Kind KIND =
      new ServerAddress.Kind(
          Set.of("mqtt", "mqtts"),
          "a broker address such as \"mqtt://broker.local:1883\" or \"mqtts://broker.local:8883\"",
          "set "
              + Credentials.USER
              + " and "
              + Credentials.PASSWORD
              + " or "
              + Credentials.PASSWORD_FILE
              + " instead");

  /**
   * Reads an address; without a port it is 1883, or 8883 if encrypted.
   *
   * @throws IllegalArgumentException with a message for the person who wrote it; the message never
   *     repeats a password
   */
  public static BrokerAddress parse(String text) {
    ServerAddress read = ServerAddress.parse(text, KIND);
    if (!read.path().matches("/?") || !read.query().isEmpty()) {
      throw KIND.refused();
    }
    boolean encrypted = read.scheme().equals("mqtts");
    return new BrokerAddress(encrypted, read.host(), read.portOr(encrypted ? 8883 : 1883));
  }

  /** The address as it is written. */
  @Override
  public String toString() {
    return (encrypted ? "mqtts://" : "mqtt://") + host + ":" + port;
  }
}
