package kitproof.mqtt;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Who the station is to a broker, and which authority it trusts; from the environment, never from
 * the command line.
 *
 * @param user null to be nobody
 * @param password null for none
 * @param authorities a PEM file of certificate authorities to trust, or null for the Java
 *     platform's
 */
public record Credentials(
    @Nullable String user, @Nullable String password, @Nullable Path authorities) {
  public static final String USER = "KITPROOF_MQTT_USER";
  public static final String PASSWORD = "KITPROOF_MQTT_PASSWORD";
  public static final String PASSWORD_FILE = "KITPROOF_MQTT_PASSWORD_FILE";
  public static final String AUTHORITIES = "KITPROOF_MQTT_CA_FILE";

  /** Nobody, trusting the platform's authorities. */
  public static final Credentials NONE = new Credentials(null, null, null);

  /**
   * Reads {@value #USER}, {@value #PASSWORD} or else the first line of the file {@value
   * #PASSWORD_FILE}, and {@value #AUTHORITIES}.
   *
   * @param environment for example {@code System.getenv()}
   * @throws IOException if a file named there cannot be read; the message says which
   */
  public static Credentials from(Map<String, String> environment) throws IOException {
    String password = environment.get(PASSWORD);
    String passwordFile = environment.get(PASSWORD_FILE);
    if (password == null && passwordFile != null) {
      try {
        password =
            Files.readString(readable(PASSWORD_FILE, passwordFile)).lines().findFirst().orElse("");
      } catch (IOException e) {
        throw new IOException(PASSWORD_FILE + ": " + passwordFile + " cannot be read", e);
      }
    }
    String authorities = environment.get(AUTHORITIES);
    return new Credentials(
        environment.get(USER),
        password,
        authorities == null ? null : readable(AUTHORITIES, authorities));
  }

  private static Path readable(String variable, String file) throws IOException {
    try {
      Path path = Path.of(file);
      if (Files.isReadable(path)) {
        return path;
      }
    } catch (InvalidPathException e) {
      throw new IOException(variable + ": " + file + " is no file name", e);
    }
    throw new IOException(variable + ": " + file + " cannot be read");
  }

  /** Without the password. */
  @Override
  public String toString() {
    return user == null ? "nobody" : user;
  }
}
