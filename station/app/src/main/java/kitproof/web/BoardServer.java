package kitproof.web;

import io.javalin.Javalin;
import io.javalin.config.JavalinConfig;
import io.javalin.util.JavalinException;
import java.io.IOException;
import kitproof.board.Board;
import org.eclipse.jetty.util.thread.QueuedThreadPool;

/** The dashboard's server; it only ever reads the board. */
public final class BoardServer implements AutoCloseable {
  /** What a page asks for is a line; the token is the only thing ever sent. */
  private static final long LARGEST_REQUEST = 4096;

  private final Javalin server;
  private final Changes changes;
  private final Access access;

  private BoardServer(Javalin server, Changes changes, Access access) {
    this.server = server;
    this.changes = changes;
    this.access = access;
  }

  /**
   * Starts serving.
   *
   * @throws IOException if it cannot listen there
   */
  public static BoardServer start(Board board, Access access) throws IOException {
    Changes changes = new Changes(board);
    Javalin server = Javalin.create(config -> configure(config, board, access, changes));
    try {
      server.start(access.host(), access.port());
    } catch (JavalinException e) {
      changes.close();
      throw new IOException("cannot listen on " + access + "; is the port taken?", e);
    }
    return new BoardServer(server, changes, access);
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
    return "http://" + access.host() + ":" + server.port() + "/";
  }

  @Override
  public void close() {
    changes.close();
    server.stop();
  }
}
