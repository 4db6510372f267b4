package kitproof.web;

import io.javalin.Javalin;
import io.javalin.config.JavalinConfig;
import io.javalin.util.JavalinException;
import java.io.IOException;
import kitproof.board.Board;
import org.eclipse.jetty.http.HttpVersion;
import org.eclipse.jetty.server.Connector;
import org.eclipse.jetty.server.HttpConfiguration;
import org.eclipse.jetty.server.HttpConnectionFactory;
import org.eclipse.jetty.server.SecureRequestCustomizer;
import org.eclipse.jetty.server.Server;
import org.eclipse.jetty.server.ServerConnector;
import org.eclipse.jetty.server.SslConnectionFactory;
import org.eclipse.jetty.util.ssl.SslContextFactory;
import org.eclipse.jetty.util.thread.QueuedThreadPool;
import org.jspecify.annotations.Nullable;

/** The dashboard's server; it only ever reads the board. */
public final class BoardServer implements AutoCloseable {
  /** What a page asks for is a line; the token is the only thing ever sent. */
  private static final long LARGEST_REQUEST = 4096;

  private final Javalin server;
  private final Changes changes;
  private final String where;

  private BoardServer(Javalin server, Changes changes, String where) {
    this.server = server;
    this.changes = changes;
    this.where = where;
  }

  /**
   * Starts serving what anybody on the way can read.
   *
   * @throws IOException if it cannot listen there
   */
  public static BoardServer start(Board board, Access access) throws IOException {
    return start(board, access, null);
  }

  /**
   * Starts serving.
   *
   * @param encryption null for none
   * @throws IOException if it cannot listen there
   */
  public static BoardServer start(Board board, Access access, @Nullable Encryption encryption)
      throws IOException {
    Changes changes = new Changes(board);
    Javalin server =
        Javalin.create(
            config -> {
              configure(config, board, access, changes);
              if (encryption != null) {
                config.jetty.addConnector(
                    (jetty, http) -> encrypted(jetty, http, access, encryption));
              }
            });
    try {
      server.start(access.host(), access.port());
    } catch (JavalinException e) {
      changes.close();
      throw new IOException("cannot listen on " + access + "; is the port taken?", e);
    }
    return new BoardServer(
        server, changes, (encryption == null ? "http://" : "https://") + access.host() + ":");
  }

  private static Connector encrypted(
      Server jetty, HttpConfiguration http, Access access, Encryption encryption) {
    SslContextFactory.Server factory = new SslContextFactory.Server();
    factory.setSslContext(encryption.context());
    HttpConfiguration secure = new HttpConfiguration(http);
    secure.addCustomizer(new SecureRequestCustomizer(false)); // by address it has no name to check
    ServerConnector connector =
        new ServerConnector(
            jetty,
            new SslConnectionFactory(factory, HttpVersion.HTTP_1_1.asString()),
            new HttpConnectionFactory(secure));
    connector.setHost(access.host());
    connector.setPort(access.port());
    return connector;
  }

  private static void configure(JavalinConfig config, Board board, Access access, Changes changes) {
    config.startup.showJavalinBanner = false;
    config.startup.showOldJavalinVersionWarning = false;
    config.startup.startupWatcherEnabled = false;
    config.http.maxRequestSize = LARGEST_REQUEST;
    QueuedThreadPool threads = new QueuedThreadPool(Changes.MOST_LISTENERS + 28, 4);
    threads.setName("board-web");
    threads.setDaemon(true);
    config.jetty.threadPool = threads;
    config.jetty.modifyHttpConfiguration(http -> http.setSendServerVersion(false));
    Guard guard = new Guard(access);
    Answers answers = new Answers(board);
    config.routes.before(guard::before);
    config.routes.post(Guard.LOGIN, guard::login);
    config.routes.get("/api/overview", answers::overview);
    config.routes.get("/api/unit", answers::unit);
    config.routes.get("/api/result", answers::result);
    config.routes.get("/events", changes::listen);
    Files.ALL.keySet().forEach(path -> config.routes.get(path, Files::send));
  }

  /** Where to look, for a person. */
  public String address() {
    return where + server.port() + "/";
  }

  @Override
  public void close() {
    changes.close();
    server.stop();
  }
}
