package kitproof.address;

import java.net.URI;
import java.net.URISyntaxException;
import java.util.Locale;
import java.util.Set;

/**
 * Where a server is: {@code scheme://host:port/path?query}.
 *
 * @param scheme in small letters
 * @param host name or address
 * @param port 1 to 65535, or 0 if none is named
 * @param path with its "/", or empty
 * @param query without its "?", or empty
 */
public record ServerAddress(String scheme, String host, int port, String path, String query) {
  private static final int LAST_PORT = 65_535;

  /**
   * How addresses of one kind are told to people who wrote another one.
   *
   * @param schemes those that are taken, in small letters
   * @param expected "an address such as …"
   * @param login where user and password belong, for an address that has them
   */
  public record Kind(Set<String> schemes, String expected, String login) {
    public Kind {
      schemes = Set.copyOf(schemes);
    }

    /** What is thrown where an address is none of this kind. */
    public IllegalArgumentException refused() {
      return new IllegalArgumentException(expected);
    }
  }

  /**
   * Reads an address.
   *
   * @throws IllegalArgumentException with a message for the person who wrote it; the message never
   *     repeats the text, which may hold a password
   */
  public static ServerAddress parse(String text, Kind kind) {
    URI uri;
    try {
      uri = new URI(text.strip());
    } catch (URISyntaxException e) {
      throw kind.refused();
    }
    String scheme = uri.getScheme() == null ? "" : uri.getScheme().toLowerCase(Locale.ROOT);
    if (!kind.schemes.contains(scheme)) {
      throw kind.refused();
    }
    if (uri.getRawAuthority() != null && uri.getRawAuthority().contains("@")) {
      throw new IllegalArgumentException(
          "an address without user and password: others can read command lines; " + kind.login);
    }
    if (uri.getHost() == null
        || uri.getFragment() != null
        || uri.getPort() == 0
        || uri.getPort() > LAST_PORT) {
      throw kind.refused();
    }
    return new ServerAddress(
        scheme,
        uri.getHost(),
        Math.max(0, uri.getPort()),
        uri.getPath() == null ? "" : uri.getPath(),
        uri.getQuery() == null ? "" : uri.getQuery());
  }

  /** The port, or the usual one if none is named. */
  public int portOr(int usual) {
    return port == 0 ? usual : port;
  }
}
