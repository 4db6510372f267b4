package kitproof.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Who the station is to a PostgreSQL; from the environment, never from the command line.
 *
 * @param user null to be who the system says
 * @param password null for none
 */
public record IndexLogin(@Nullable String user, @Nullable String password) {
  public static final String USER = "KITPROOF_INDEX_USER";
  public static final String PASSWORD = "KITPROOF_INDEX_PASSWORD";
  public static final String PASSWORD_FILE = "KITPROOF_INDEX_PASSWORD_FILE";

  /**
   * Reads {@value #USER}, and {@value #PASSWORD} or else the first line of the file {@value
   * #PASSWORD_FILE}.
   *
   * @param environment for example {@code System.getenv()}
   * @throws IOException if the file named there cannot be read
   */
  public static IndexLogin from(Map<String, String> environment) throws IOException {
    String password = environment.get(PASSWORD);
    String file = environment.get(PASSWORD_FILE);
    if (password == null && file != null) {
      try {
        password = Files.readString(Path.of(file)).lines().findFirst().orElse("");
      } catch (IOException | InvalidPathException e) {
        throw new IOException(PASSWORD_FILE + ": " + file + " cannot be read", e);
      }
    }
    return new IndexLogin(environment.get(USER), password);
  }

  /** Without the password. */
  @Override
  public String toString() {
    return user == null ? "nobody" : user;
  }
}
