package kitproof.peers;

import static java.util.concurrent.TimeUnit.MILLISECONDS;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * The program in a process of its own, as a person starts it: it can be interrupted and killed.
 *
 * <p>What it prints on both streams goes to one file. It is killed when the test closes it.
 */
class Program implements AutoCloseable {
  /** Far beyond what any of these runs takes on a busy machine. */
  static final Duration PATIENCE = Duration.ofMinutes(4);

  private static final Path HOME = Path.of("").toAbsolutePath().getParent().getParent();

  private final @Nullable Process process;
  private final Path printed;

  /** One that is no process of its own. */
  Program(Path printed) {
    this.process = null;
    this.printed = printed;
  }

  private Program(Process process, Path printed) {
    this.process = process;
    this.printed = printed;
    Runtime.getRuntime().addShutdownHook(new Thread(process::destroyForcibly));
  }

  private Process process() {
    return Objects.requireNonNull(process, "a process of its own");
  }

  /** Starts it with these arguments; what it prints is kept in the folder. */
  static Program start(Path folder, List<String> arguments) throws IOException {
    return start(folder, arguments, Map.of());
  }

  /** The same with these variables in its environment beside ours. */
  static Program start(Path folder, List<String> arguments, Map<String, String> environment)
      throws IOException {
    Path printed = Files.createTempFile(folder, "printed", ".txt");
    List<String> command = command();
    command.addAll(arguments);
    return start(command, printed, environment);
  }

  private static List<String> command() {
    return new ArrayList<>(
        List.of(
            // else a test run that a shell started in the background would ignore interrupts
            "env",
            "--default-signal=INT,HUP",
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-Xmx256m",
            "-XX:+UseSerialGC",
            "-XX:TieredStopAtLevel=1", // it starts sooner, and never runs for long
            "-Dkitproof.home=" + HOME,
            "-cp",
            System.getProperty("java.class.path"),
            "kitproof.cli.Main"));
  }

  /** The same on a terminal of its own, whose keyboard is {@link #type}. */
  static Program startOnTerminal(Path folder, List<String> arguments) throws IOException {
    Path printed = Files.createTempFile(folder, "printed", ".txt");
    List<String> command = command();
    command.addAll(arguments);
    // exec: a shell that waited in between would itself be ended by Ctrl-C and hide the exit code
    StringBuilder line = new StringBuilder("exec ");
    command.forEach(word -> line.append('\'').append(word).append("' "));
    // util-linux: makes a pseudo-terminal, and returns the exit code of what runs in it
    return start(List.of("script", "-qefc", line.toString(), "/dev/null"), printed, Map.of());
  }

  private static Program start(List<String> command, Path printed, Map<String, String> environment)
      throws IOException {
    ProcessBuilder builder = new ProcessBuilder(command);
    builder.environment().putAll(environment);
    Process process = builder.redirectErrorStream(true).redirectOutput(printed.toFile()).start();
    return new Program(process, printed);
  }

  /** Types these characters, control characters among them. */
  void type(String keys) throws IOException {
    try {
      process().getOutputStream().write(keys.getBytes(StandardCharsets.UTF_8));
      process().getOutputStream().flush();
    } catch (IOException e) {
      throw new IOException("it has ended, having printed:\n" + printed(), e);
    }
  }

  /** Everything printed so far. */
  String printed() throws IOException {
    return Files.readString(printed, StandardCharsets.UTF_8);
  }

  /** Waits until it has printed this. */
  void awaitPrinted(String text) {
    await()
        .atMost(PATIENCE)
        .pollInterval(Duration.ofMillis(50))
        .until(() -> printed().contains(text) || !isAlive());
  }

  boolean isAlive() {
    return process().isAlive();
  }

  /** What a terminal sends: INT for Ctrl-C, HUP when it is closed. */
  void signal(String name) throws IOException, InterruptedException {
    String pid = Long.toString(process().pid());
    assertThat(new ProcessBuilder("kill", "-" + name, pid).start().waitFor()).isZero();
  }

  /** SIGKILL: nothing more is done by it. */
  void kill() throws InterruptedException {
    process().destroyForcibly();
    process().waitFor();
  }

  /** Waits for its end and returns the exit code. */
  int exitCode() throws IOException, InterruptedException {
    assertThat(process().waitFor(PATIENCE.toMillis(), MILLISECONDS))
        .as("ended within %s; it printed:%n%s", PATIENCE, printed())
        .isTrue();
    return process().exitValue();
  }

  @Override
  public void close() {
    process().destroyForcibly();
  }
}
