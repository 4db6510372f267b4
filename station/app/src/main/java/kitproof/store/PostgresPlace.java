package kitproof.store;

import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import javax.sql.DataSource;
import kitproof.address.ServerAddress;
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
  private static final ServerAddress.Kind KIND =
      new ServerAddress.Kind(
          Set.of("postgresql", "postgres"),
          "an address such as \"postgresql://index.shop.example:5432/kitproof\"",
          "set "
              + IndexLogin.USER
              + " and "
              + IndexLogin.PASSWORD
              + " or "
              + IndexLogin.PASSWORD_FILE
              + " instead");
  private static final int CONNECT_SECONDS = 5;
  private static final int ANSWER_SECONDS = 120;

  /**
   * Reads an address; without a port it is 5432.
   *
   * @throws IllegalArgumentException with a message for the person who wrote it; the message never
   *     repeats a password
   */
  public static PostgresPlace parse(String text, IndexLogin login) {
    ServerAddress read = ServerAddress.parse(text, KIND);
    if (!read.path().matches("/[^/]+")) {
      throw KIND.refused();
    }
    String encryption = "prefer";
    Path authority = null;
    List<String> parts = read.query().isEmpty() ? List.of() : List.of(read.query().split("&", -1));
    for (String part : parts) {
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
    return new PostgresPlace(
        read.host(),
        read.portOr(USUAL_PORT),
        read.path().substring(1),
        encryption,
        authority,
        login);
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
