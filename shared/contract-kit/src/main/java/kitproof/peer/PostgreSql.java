package kitproof.peer;

import java.io.File;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * A PostgreSQL server of its own: own cluster, free port on the loopback; it may be killed and
 * started again on the same port. Who runs the tests may do everything in it without a password;
 * others are made by {@link #createUser}.
 *
 * <p>The server refuses to run as root: then it runs as the user that Debian's package brings.
 */
public final class PostgreSql implements AutoCloseable {
  private static final Duration START = Duration.ofSeconds(30);
  private static final Path DEBIAN = Path.of("/usr/lib/postgresql");
  private static final String SYSTEM_USER = "postgres";

  private final Path folder;
  private final Path programs;
  private final int port;
  private @Nullable Process process;

  private PostgreSql(Path folder, Path programs, int port) {
    this.folder = folder;
    this.programs = programs;
    this.port = port;
  }

  /** A new cluster, not started yet. */
  public static PostgreSql open() throws IOException {
    Path programs = programs();
    // not in a folder of the test's, into which another user may not go
    Path folder = Files.createTempDirectory("kitproof-postgres-");
    int port;
    try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = free.getLocalPort();
    }
    PostgreSql server = new PostgreSql(folder, programs, port);
    if (root()) {
      Programs.run(Path.of("/"), "chown", SYSTEM_USER, folder.toString());
    }
    server.run(
        "initdb",
        "-D",
        server.data().toString(),
        "-U",
        user(),
        "-A",
        "trust",
        "--no-sync",
        "--locale=C",
        "--encoding=UTF8");
    return server;
  }

  private static Path programs() throws IOException {
    List<Path> found = new ArrayList<>();
    if (Files.isDirectory(DEBIAN)) {
      try (Stream<Path> versions = Files.list(DEBIAN)) {
        versions.map(v -> v.resolve("bin")).filter(PostgreSql::holdsServer).forEach(found::add);
      }
    }
    for (String part : System.getenv().getOrDefault("PATH", "").split(File.pathSeparator)) {
      if (!part.isEmpty() && holdsServer(Path.of(part))) {
        found.add(Path.of(part));
      }
    }
    if (found.isEmpty()) {
      throw new IOException(
          "PostgreSQL is not installed; on Debian: apt-get install -y --no-install-recommends"
              + " postgresql");
    }
    return found.get(0);
  }

  private static boolean holdsServer(Path folder) {
    return Files.isExecutable(folder.resolve("postgres"))
        && Files.isExecutable(folder.resolve("initdb"));
  }

  private static String user() {
    return System.getProperty("user.name");
  }

  private static boolean root() {
    return user().equals("root");
  }

  private Path data() {
    return folder.resolve("data");
  }

  public int port() {
    return port;
  }

  /** "postgresql://127.0.0.1:PORT/DATABASE". */
  public String address(String database) {
    return "postgresql://127.0.0.1:" + port + "/" + database;
  }

  private List<String> command(String program, List<String> arguments) {
    List<String> command = new ArrayList<>();
    if (root()) {
      command.addAll(
          List.of("setpriv", "--reuid=" + SYSTEM_USER, "--regid=" + SYSTEM_USER, "--init-groups"));
    }
    command.add(programs.resolve(program).toString());
    command.addAll(arguments);
    return command;
  }

  private void run(String program, String... arguments) throws IOException {
    Programs.run(Path.of("/"), command(program, List.of(arguments)).toArray(String[]::new));
  }

  /** Starts it, or starts it again, and returns when it can be asked; at once if it runs. */
  public PostgreSql start() throws IOException {
    if (process != null && process.isAlive()) {
      return this;
    }
    List<String> arguments =
        List.of(
            "-D",
            data().toString(),
            "-h",
            "127.0.0.1",
            "-p",
            String.valueOf(port),
            "-k",
            "", // no socket beside the port
            "-F"); // a test's data need not outlive the machine
    Process started =
        new ProcessBuilder(command("postgres", arguments))
            .directory(new File("/"))
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.appendTo(log()))
            .start();
    process = started;
    for (long tries = START.toMillis() / 50; tries > 0; tries--) {
      if (Programs.ended(started, 50)) {
        break;
      }
      if (ready()) {
        return this;
      }
    }
    throw new IOException("PostgreSQL does not start: " + Files.readString(log().toPath()));
  }

  private boolean ready() {
    try {
      run("pg_isready", "-q", "-h", "127.0.0.1", "-p", String.valueOf(port));
      return true;
    } catch (IOException notYet) {
      return false;
    }
  }

  private File log() {
    return folder.resolve("server.log").toFile();
  }

  /** Lets the server do something, in the database that every cluster has. */
  public void execute(String sql) throws IOException {
    run(
        "psql",
        "-X",
        "-q",
        "-v",
        "ON_ERROR_STOP=1",
        "-h",
        "127.0.0.1",
        "-p",
        String.valueOf(port),
        "-U",
        user(),
        "-d",
        "postgres",
        "-c",
        sql);
  }

  /** A new, empty database. */
  public PostgreSql createDatabase(String name) throws IOException {
    execute("CREATE DATABASE " + name);
    return this;
  }

  /** A user who has to give a password, with an own database of the same name. */
  public PostgreSql createUser(String name, String password) throws IOException {
    Path access = data().resolve("pg_hba.conf");
    List<String> lines = new ArrayList<>(Files.readAllLines(access));
    lines.add(0, "host all " + name + " 127.0.0.1/32 scram-sha-256");
    Files.write(access, lines);
    execute("CREATE ROLE " + name + " LOGIN PASSWORD '" + password + "'");
    execute("CREATE DATABASE " + name + " OWNER " + name);
    execute("SELECT pg_reload_conf()");
    return this;
  }

  /** Ends it at once, in the middle of whatever it does, and returns when it is gone. */
  public void kill() throws IOException {
    Process running = process;
    if (running != null && running.isAlive()) {
      Programs.run(Path.of("/"), "kill", "-QUIT", String.valueOf(running.pid()));
      if (!Programs.ended(running, START.toMillis())) {
        throw new IllegalStateException("PostgreSQL does not end");
      }
    }
  }

  /** Ends it and removes its cluster. */
  @Override
  public void close() throws IOException {
    kill();
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path file : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(file);
      }
    }
  }
}
