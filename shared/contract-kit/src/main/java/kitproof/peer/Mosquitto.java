package kitproof.peer;

import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;

/**
 * A Mosquitto broker of its own: own folder, free port on the loopback, persistence on; it may be
 * killed and started again on the same port. Its {@code mosquitto_sub} is the client.
 */
public final class Mosquitto implements AutoCloseable {
  private static final Duration START = Duration.ofSeconds(10);

  private final Path folder;
  private final int port;
  private final List<String> login;
  private final @Nullable Path authority;
  private final List<Subscriber> subscribers = new ArrayList<>();
  private @Nullable Process process;

  private Mosquitto(Path folder, int port, List<String> login, @Nullable Path authority) {
    this.folder = folder;
    this.port = port;
    this.login = login;
    this.authority = authority;
  }

  /** A broker that anybody may use, not started yet. */
  public static Mosquitto open(Path folder) throws IOException {
    return configured(folder, List.of("allow_anonymous true"), List.of(), null);
  }

  /** A broker that anybody may use and that forgets all when it ends, not started yet. */
  public static Mosquitto inMemory(Path folder) throws IOException {
    Mosquitto broker = open(folder);
    Path file = folder.resolve("mosquitto.conf");
    Files.write(
        file,
        Files.readAllLines(file).stream()
            .filter(line -> !line.startsWith("persistence") && !line.startsWith("autosave"))
            .toList());
    return broker;
  }

  /** A broker that admits one user, not started yet. */
  public static Mosquitto withUser(Path folder, String user, String password) throws IOException {
    Path passwords = Files.createDirectories(folder).resolve("passwords");
    Programs.run(
        folder,
        Programs.find("mosquitto_passwd"),
        "-b",
        "-c",
        passwords.toString(),
        user,
        password);
    return configured(
        folder,
        List.of("allow_anonymous false", "password_file " + passwords),
        List.of("-u", user, "-P", password),
        null);
  }

  /**
   * A broker with TLS, not started yet, whose certificate is good for one host name only and signed
   * by an authority made for it.
   *
   * @param host for example "localhost"
   */
  public static Mosquitto withTls(Path folder, String host) throws IOException {
    Certificates.make(Files.createDirectories(folder), host);
    Path authority = folder.resolve("authority.pem");
    return configured(
        folder,
        List.of(
            "allow_anonymous true",
            "cafile " + authority,
            "certfile " + folder.resolve("broker.pem"),
            "keyfile " + folder.resolve("broker.key")),
        List.of("--cafile", authority.toString()),
        authority);
  }

  private static Mosquitto configured(
      Path folder, List<String> access, List<String> login, @Nullable Path authority)
      throws IOException {
    Path data = Files.createDirectories(folder.resolve("data"));
    int port;
    try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = free.getLocalPort();
    }
    List<String> lines = new ArrayList<>(List.of("listener " + port + " 127.0.0.1"));
    lines.addAll(access);
    lines.addAll(
        List.of(
            "user " + System.getProperty("user.name"),
            "persistence true",
            "persistence_location " + data + "/",
            "autosave_on_changes true",
            "autosave_interval 1",
            "max_inflight_messages 0",
            "max_queued_messages 0"));
    Files.write(folder.resolve("mosquitto.conf"), lines);
    return new Mosquitto(folder, port, login, authority);
  }

  public int port() {
    return port;
  }

  /** The PEM file of the authority that signed the broker's certificate, or null without TLS. */
  public @Nullable Path authority() {
    return authority;
  }

  /** Starts it, or starts it again, and returns when it listens. */
  public Mosquitto start() throws IOException {
    Process started =
        new ProcessBuilder(
                Programs.find("mosquitto"), "-c", folder.resolve("mosquitto.conf").toString())
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.appendTo(log()))
            .start();
    process = started;
    for (long tries = START.toMillis() / 20; tries > 0; tries--) {
      try (Socket probe = new Socket()) {
        probe.connect(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 1000);
        return this;
      } catch (IOException notYet) {
        if (Programs.ended(started, 20)) {
          break;
        }
      }
    }
    throw new IOException("mosquitto does not listen: " + Files.readString(log().toPath()));
  }

  private File log() {
    return folder.resolve("mosquitto.log").toFile();
  }

  /**
   * Ends it as its service manager would, and returns when it is gone: what it has acknowledged is
   * on its disk, which it promises only for an orderly end.
   */
  public void stop() {
    Process running = process;
    if (running != null) {
      running.destroy();
      if (!Programs.ended(running, START.toMillis())) {
        throw new IllegalStateException("mosquitto does not end");
      }
    }
  }

  /** Kills it without a chance to take leave, and returns when it is gone. */
  public void kill() {
    Process running = process;
    if (running != null) {
      running.destroyForcibly();
      Programs.ended(running, START.toMillis());
    }
  }

  /**
   * Starts {@code mosquitto_sub} with a session that outlives the connection, and returns when the
   * broker knows it.
   */
  public Subscriber subscribe(String filter) throws IOException {
    Subscriber subscriber = Subscriber.start(port, login, folder, subscribers.size(), filter);
    subscribers.add(subscriber);
    return subscriber;
  }

  /** Ends it and its subscribers. */
  @Override
  public void close() {
    subscribers.forEach(Subscriber::close);
    kill();
  }

  /**
   * A message as {@code mosquitto_sub} printed it.
   *
   * @param retained whether the broker had kept it from before the subscription
   */
  public record Received(String topic, boolean retained, String payload) {}

  /** A running {@code mosquitto_sub} and everything it has printed. */
  public static final class Subscriber implements AutoCloseable {
    private final Process process;
    private final List<Received> received = new ArrayList<>();

    private Subscriber(Process process) {
      this.process = process;
    }

    /**
     * Subscribes at any broker on this machine.
     *
     * @param options more options for the program
     * @param folder for its errors
     * @param number tells its session from others
     */
    public static Subscriber start(
        int port, List<String> options, Path folder, int number, String filter) throws IOException {
      Path errors = folder.resolve("subscriber-" + number + ".log");
      // line by line, or what it says of its subscription waits in a buffer for the first message
      List<String> command =
          new ArrayList<>(
              List.of(
                  "stdbuf",
                  "-oL",
                  Programs.find("mosquitto_sub"),
                  "-V",
                  "mqttv5",
                  "-h",
                  "localhost",
                  "-p",
                  String.valueOf(port),
                  "-i",
                  "subscriber-" + number,
                  "-c",
                  "-x",
                  "3600",
                  "-q",
                  "1",
                  "-D",
                  "CONNECT",
                  "receive-maximum",
                  "65535",
                  "-t",
                  filter,
                  "-d",
                  "-F",
                  "> %r\\t%t\\t%p"));
      command.addAll(options);
      Process process = new ProcessBuilder(command).redirectError(errors.toFile()).start();
      Subscriber subscriber = new Subscriber(process);
      Thread reader = new Thread(subscriber::read, "mosquitto_sub-" + number);
      reader.setDaemon(true);
      reader.start();
      synchronized (subscriber) {
        subscriber.awaitThat(s -> s.subscribed, START);
        if (!subscriber.subscribed) {
          subscriber.close();
          throw new IOException("mosquitto_sub did not subscribe: " + Files.readString(errors));
        }
      }
      return subscriber;
    }

    private boolean subscribed;

    private void read() {
      try (BufferedReader lines = process.inputReader(StandardCharsets.UTF_8)) {
        for (String line = lines.readLine(); line != null; line = lines.readLine()) {
          take(line);
        }
      } catch (IOException e) {
        if (process.isAlive()) {
          throw new UncheckedIOException(e);
        }
      }
    }

    private synchronized void take(String line) {
      if (line.startsWith("> ")) {
        String[] parts = line.substring(2).split("\t", 3);
        received.add(new Received(parts[1], parts[0].equals("1"), parts[2]));
      } else if (line.contains("SUBACK")) {
        subscribed = true;
      }
      notifyAll();
    }

    private void awaitThat(Predicate<Subscriber> condition, Duration bound) {
      long until = System.nanoTime() + bound.toNanos();
      try {
        for (long left = bound.toMillis();
            left > 0 && !condition.test(this);
            left = (until - System.nanoTime()) / 1_000_000) {
          wait(left);
        }
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }

    /** What was received so far, in order. */
    public synchronized List<Received> received() {
      return List.copyOf(received);
    }

    /** Waits until what was received is enough, or the bound has passed; returns it either way. */
    public synchronized List<Received> await(Predicate<List<Received>> enough, Duration bound) {
      awaitThat(s -> enough.test(s.received), bound);
      return received();
    }

    @Override
    public void close() {
      process.destroyForcibly();
      Programs.ended(process, START.toMillis());
    }
  }
}
