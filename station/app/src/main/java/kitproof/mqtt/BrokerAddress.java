package kitproof.mqtt;

import java.net.URI;
import java.net.URISyntaxException;
import java.util.Locale;

/**
 * Where a broker is: {@code mqtt://host:port} or, encrypted, {@code mqtts://host:port}.
 *
 * @param encrypted whether TLS is spoken
 * @param host name or address
 * @param port 1 to 65535
 */
public record BrokerAddress(boolean encrypted, String host, int port) {
  /**
   * Reads an address; without a port it is 1883, or 8883 if encrypted.
   *
   * @throws IllegalArgumentException with a message for the person who wrote it; the message never
   *     repeats a password
   */
  public static BrokerAddress parse(String text) {
    URI uri;
    try {
      uri = new URI(text.strip());
    } catch (URISyntaxException e) {
      // its message would repeat the text, and that may hold a password
      throw new IllegalArgumentException(expectation());
    }
    String scheme = uri.getScheme() == null ? "" : uri.getScheme().toLowerCase(Locale.ROOT);
    if (!scheme.equals("mqtt") && !scheme.equals("mqtts")) {
      throw new IllegalArgumentException(expectation());
    }
    if (uri.getRawAuthority() != null && uri.getRawAuthority().contains("@")) {
      throw new IllegalArgumentException(
          "a broker address without user and password: others can read command lines; set "
              + Credentials.USER
              + " and "
              + Credentials.PASSWORD
              + " or "
              + Credentials.PASSWORD_FILE
              + " instead");
    }
    boolean bare =
        (uri.getPath() == null || uri.getPath().isEmpty() || uri.getPath().equals("/"))
            && uri.getQuery() == null
            && uri.getFragment() == null;
    if (uri.getHost() == null || !bare || uri.getPort() == 0 || uri.getPort() > 65535) {
      throw new IllegalArgumentException(expectation());
    }
    boolean encrypted = scheme.equals("mqtts");
    int port = uri.getPort() < 0 ? (encrypted ? 8883 : 1883) : uri.getPort();
    return new BrokerAddress(encrypted, uri.getHost(), port);
  }

  private static String expectation() {
    return "a broker address such as \"mqtt://broker.local:1883\" or \"mqtts://broker.local:8883\"";
  }

  /** The address as it is written. */
  @Override
  public String toString() {
    return (encrypted ? "mqtts://" : "mqtt://") + host + ":" + port;
  }
}
