package kitproof.store;

import java.net.URI;
import java.net.URISyntaxException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import javax.sql.DataSource;
import org.jspecify.annotations.Nullable;
import org.postgresql.ds.PGSimpleDataSource;

/**
 * An index in a PostgreSQL: {@code postgresql://host:port/database}. Its tables are in a schema of
 * their own, {@value #SCHEMA}.
 *
 * @param host name or address
 * @param port 1 to 65535
 * @param database its name
 * @param encryption "disable", "prefer", "require", "verify-ca" or "verify-full"
 * @param authority a PEM file with the authority that signed the server's certificate, or null
 * @param login who the station is there
 */
public record PostgresPlace(
    String host,
    int port,
    String database,
    String encryption,
    @Nullable Path authority,
    IndexLogin login)
    implements IndexPlace {
  static final String SCHEMA = "kitproof";
  private static final int USUAL_PORT = 5432;
  private static final List<String> ENCRYPTIONS =
      List.of("disable", "prefer", "require", "verify-ca", "verify-full");
  private static final int CONNECT_SECONDS = 5;
  private static final int ANSWER_SECONDS = 120;

  /**
   * Reads an address; without a port it is 5432.
   *
   * @throws IllegalArgumentException with a message for the person who wrote it; the message never
   *     repeats a password
   */
  public static PostgresPlace parse(String text, IndexLogin login) {
    URI uri;
    try {
      uri = new URI(text.strip());
    } catch (URISyntaxException e) {
      // its message would repeat the text, and that may hold a password
      throw new IllegalArgumentException(expectation());
    }
    String scheme = uri.getScheme() == null ? "" : uri.getScheme().toLowerCase(Locale.ROOT);
    if (!scheme.equals("postgresql") && !scheme.equals("postgres")) {
      throw new IllegalArgumentException(expectation());
    }
    if (uri.getRawAuthority() != null && uri.getRawAuthority().contains("@")) {
      throw new IllegalArgumentException(
          "an address without user and password: others can read command lines; set "
              + IndexLogin.USER
              + " and "
              + IndexLogin.PASSWORD
              + " or "
              + IndexLogin.PASSWORD_FILE
              + " instead");
    }
    String path = uri.getPath() == null ? "" : uri.getPath();
    boolean sound =
        uri.getHost() != null
            && path.matches("/[^/]+")
            && uri.getFragment() == null
            && uri.getPort() != 0
            && uri.getPort() <= 65535;
    if (!sound) {
      throw new IllegalArgumentException(expectation());
    }
    String encryption = "prefer";
    Path authority = null;
    String query = uri.getQuery() == null ? "" : uri.getQuery();
    for (String part : query.isEmpty() ? new String[0] : query.split("&", -1)) {
      String name = part.replaceFirst("=.*", "");
      String value = part.contains("=") ? part.substring(name.length() + 1) : "";
      if (name.equals("sslmode") && ENCRYPTIONS.contains(value)) {
        encryption = value;
      } else if (name.equals("sslrootcert") && !value.isEmpty()) {
        authority = Path.of(value);
      } else {
        throw new IllegalArgumentException(
            "after \"?\" only sslmode ("
                + String.join(", ", ENCRYPTIONS)
                + ") and sslrootcert (a PEM file)");
      }
    }
    int port = uri.getPort() < 0 ? USUAL_PORT : uri.getPort();
    return new PostgresPlace(uri.getHost(), port, path.substring(1), encryption, authority, login);
  }

  private static String expectation() {
    return "an address such as \"postgresql://index.shop.example:5432/kitproof\"";
  }

  @Override
  public DataSource source() {
    PGSimpleDataSource source = new PGSimpleDataSource();
    source.setServerNames(new String[] {host});
    source.setPortNumbers(new int[] {port});
    source.setDatabaseName(database);
    source.setUser(login.user());
    source.setPassword(login.password());
    source.setSslMode(encryption);
    if (authority != null) {
      source.setSslRootCert(authority.toString());
    }
    source.setCurrentSchema(SCHEMA);
    source.setApplicationName("kitproof");
    source.setConnectTimeout(CONNECT_SECONDS);
    source.setLoginTimeout(CONNECT_SECONDS);
    source.setSocketTimeout(ANSWER_SECONDS);
    source.setTcpKeepAlive(true);
    source.setReWriteBatchedInserts(true);
    return source;
  }

  @Override
  public String toString() {
    return "the index postgresql://" + host + ":" + port + "/" + database;
  }
}
