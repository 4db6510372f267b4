package kitproof.web;

import io.javalin.Javalin;
import io.javalin.config.JavalinConfig;
import io.javalin.config.RoutesConfig;
import io.javalin.util.JavalinException;
import java.io.IOException;
import java.time.Duration;
import java.util.function.Consumer;
import org.eclipse.jetty.http.HttpVersion;
import org.eclipse.jetty.server.Connector;
import org.eclipse.jetty.server.HttpConfiguration;
import org.eclipse.jetty.server.HttpConnectionFactory;
import org.eclipse.jetty.server.SecureRequestCustomizer;
import org.eclipse.jetty.server.Server;
import org.eclipse.jetty.server.ServerConnector;
import org.eclipse.jetty.server.SslConnectionFactory;
import org.eclipse.jetty.server.handler.ThreadLimitHandler;
import org.eclipse.jetty.util.ssl.SslContextFactory;
import org.eclipse.jetty.util.thread.QueuedThreadPool;
import org.jspecify.annotations.Nullable;

/**
 * A web server of this program, as all of them are: behind the guard, with its own files and no
 * others, requests and listeners bounded.
 */
public final class PageServer implements AutoCloseable {
  /** What a page asks for or says is a line, or the papers of a bench's instruments. */
  private static final int LARGEST_REQUEST = 16_384;

  /** Who has begun to ask and says nothing more for this long is not waited for. */
  private static final Duration SILENCE = Duration.ofSeconds(10);

  private final Javalin server;
  private final Changes changes;
  private final String where;

  private PageServer(Javalin server, Changes changes, String where) {
    this.server = server;
    this.changes = changes;
    this.where = where;
  }

  /**
   * What is served.
   *
   * @param name of threads and cookies
   * @param shown what the pages show, of whose changes they are told
   * @param files the pages' own files
   * @param routes what the pages ask and say
   */
  public record Site(
      String name, Versioned shown, Files files, Consumer<? super RoutesConfig> routes) {}

  /**
   * Starts serving.
   *
   * @param encryption null for none
   * @throws IOException if it cannot listen there
   */
  public static PageServer start(Site site, Access access, @Nullable Encryption encryption)
      throws IOException {
    Changes changes = new Changes(site.shown());
    Guard guard = new Guard(access, site.name());
    Javalin server =
        Javalin.create(
            config -> {
              configure(config, site, guard, changes);
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
    return new PageServer(
        server, changes, (encryption == null ? "http://" : "https://") + access.shown() + ":");
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

  private static void configure(JavalinConfig config, Site site, Guard guard, Changes changes) {
    config.startup.showJavalinBanner = false;
    config.startup.showOldJavalinVersionWarning = false;
    config.startup.startupWatcherEnabled = false;
    config.http.maxRequestSize = LARGEST_REQUEST;
    QueuedThreadPool threads = new QueuedThreadPool(Changes.MOST_LISTENERS + 28, 4);
    threads.setName(site.name() + "-web");
    threads.setDaemon(true);
    config.jetty.threadPool = threads;
    config.jetty.modifyServer(jetty -> jetty.insertHandler(evenHanded()));
    config.jetty.modifyHttpConfiguration(
        http -> {
          http.setSendServerVersion(false);
          http.setIdleTimeout(SILENCE.toMillis());
        });
    config.routes.before(guard::before);
    config.routes.post(Guard.LOGIN, guard::login);
    config.routes.get("/events", changes::listen);
    site.files().paths().forEach(path -> config.routes.get(path, site.files()::send));
    site.routes().accept(config.routes);
  }

  /**
   * One device beside this machine cannot take all threads, however slowly it reads what it asks
   * for; what it asks for beyond its share waits. Behind this machine's own address may be a proxy
   * with everybody.
   */
  private static ThreadLimitHandler evenHanded() {
    ThreadLimitHandler handler = new ThreadLimitHandler();
    handler.setThreadLimit(2 * Changes.MOST_OF_ONE);
    handler.exclude("127.0.0.1");
    handler.exclude("::1");
    return handler;
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
