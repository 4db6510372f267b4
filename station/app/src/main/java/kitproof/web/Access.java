package kitproof.web;

import java.net.InetAddress;
import java.net.UnknownHostException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Locale;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Who may look: everybody on this machine, or, beyond it, everybody who knows a token.
 *
 * @param host name or address to listen on
 * @param port 0 for a free one
 * @param token null if none is asked for
 */
public record Access(String host, int port, @Nullable String token) {
  /** A shorter token could be guessed. */
  public static final int SHORTEST_TOKEN = 16;

  private static final Set<String> THIS_MACHINE = Set.of("localhost", "127.0.0.1", "[::1]");

  /**
   * Nothing that is too open gets through here.
   *
   * @throws IllegalArgumentException with a message for the person who wanted it
   */
  public Access {
    if (port < 0 || port > 65535) {
      throw new IllegalArgumentException("a port from 0 to 65535");
    }
    if (token != null && token.length() < SHORTEST_TOKEN) {
      throw new IllegalArgumentException("a token of at least " + SHORTEST_TOKEN + " characters");
    }
    if (token == null && !isLoopback(host)) {
      throw new IllegalArgumentException(
          "a token: whoever reaches " + host + " could look in without one");
    }
  }

  private static boolean isLoopback(String host) {
    try {
      return InetAddress.getByName(host).isLoopbackAddress();
    } catch (UnknownHostException e) {
      throw new IllegalArgumentException("an address of this machine, not " + host, e);
    }
  }

  /**
   * Whether a request was meant for this server: a page from elsewhere that had a name resolved to
   * this machine says another host.
   *
   * @param header of the request
   */
  boolean meantForUs(@Nullable String header) {
    if (token != null) {
      return true; // nobody gets in without it
    }
    String name = header == null ? "" : header.toLowerCase(Locale.ROOT).replaceFirst(":\\d+$", "");
    return THIS_MACHINE.contains(name);
  }

  /** Whether this is the token, in a time that tells nothing. */
  boolean knows(@Nullable String said) {
    return token != null && said != null && same(token, said);
  }

  /** Whether this cookie was given to somebody who knew the token. */
  boolean admits(@Nullable String cookie) {
    return token == null || (cookie != null && same(cookie(), cookie));
  }

  /** What a browser keeps instead of the token. */
  String cookie() {
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      return HexFormat.of()
          .formatHex(digest.digest(("kitproof board\n" + token).getBytes(StandardCharsets.UTF_8)));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }

  private static boolean same(String one, String other) {
    return MessageDigest.isEqual(
        one.getBytes(StandardCharsets.UTF_8), other.getBytes(StandardCharsets.UTF_8));
  }

  /**
   * The host as it stands in an address to open: in brackets if it needs them, and the machine's
   * name if it listens on all its addresses.
   */
  String shown() {
    String name = host;
    try {
      if (InetAddress.getByName(host).isAnyLocalAddress()) {
        name = InetAddress.getLocalHost().getHostName();
      }
    } catch (UnknownHostException e) {
      name = "localhost"; // a machine that does not know its own name knows this one
    }
    return name.contains(":") && !name.startsWith("[") ? "[" + name + "]" : name;
  }

  /** Without the token. */
  @Override
  public String toString() {
    return (host.contains(":") && !host.startsWith("[") ? "[" + host + "]" : host) + ":" + port;
  }
}
