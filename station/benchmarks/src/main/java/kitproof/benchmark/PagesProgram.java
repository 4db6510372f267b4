package kitproof.benchmark;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;

/** A command that serves pages, as a program of its own, in the memory that it is usually given. */
final class PagesProgram implements AutoCloseable {
  private final Process process;
  private final String address;
  private final long startedNanos;

  private PagesProgram(Process process, String address, long startedNanos) {
    this.process = process;
    this.address = address;
    this.startedNanos = startedNanos;
  }

  /** {@code kitproof board}, on a free port. */
  static PagesProgram board(String classPath, int brokerPort) throws IOException {
    return start(java(classPath), "board: ", board(brokerPort));
  }

  /** The same as people start it, in the folder of the repository. */
  static PagesProgram launchedBoard(int brokerPort) throws IOException {
    return start(List.of(StartBenchmark.LAUNCHER), "board: ", board(brokerPort));
  }

  private static List<String> board(int brokerPort) {
    return List.of("board", "--broker", "mqtt://127.0.0.1:" + brokerPort, "--port", "0");
  }

  /** {@code kitproof serve}, on a free port. */
  static PagesProgram screen(String classPath, List<String> arguments) throws IOException {
    List<String> all = new ArrayList<>(List.of("serve", "--port", "0"));
    all.addAll(arguments);
    return start(java(classPath), "screen: ", all);
  }

  private static List<String> java(String classPath) {
    return List.of(
        System.getProperty("java.home") + "/bin/java",
        "-Xmx256m",
        "-XX:+UseSerialGC",
        "-Dkitproof.home=" + System.getProperty("kitproof.home", ""),
        "-cp",
        classPath,
        "kitproof.cli.Main");
  }

  /** Reads on until the address is told; what else is said before is for whoever watches. */
  private static PagesProgram start(List<String> program, String says, List<String> arguments)
      throws IOException {
    long began = System.nanoTime();
    List<String> command = new ArrayList<>(program);
    command.addAll(arguments);
    Process process =
        new ProcessBuilder(command).redirectError(ProcessBuilder.Redirect.INHERIT).start();
    BufferedReader lines = process.inputReader(StandardCharsets.UTF_8);
    StringBuilder told = new StringBuilder();
    for (String line = lines.readLine(); line != null; line = lines.readLine()) {
      if (line.startsWith(says)) {
        String address = line.substring(says.length(), line.indexOf(" ("));
        drain(lines);
        return new PagesProgram(process, address, began);
      }
      told.append(line).append('\n');
    }
    process.destroyForcibly();
    throw new IOException("it did not start: " + told);
  }

  /** What a program says that nobody reads would hold it up in the end. */
  private static void drain(BufferedReader lines) {
    Thread thread =
        new Thread(
            () -> {
              try {
                lines.transferTo(Writer.nullWriter());
              } catch (IOException e) {
                // it has ended
              }
            },
            "drain");
    thread.setDaemon(true);
    thread.start();
  }

  String address() {
    return address;
  }

  /** Since it was started as a program. */
  double seconds() {
    return (System.nanoTime() - startedNanos) / 1e9;
  }

  Duration processorTime() {
    return process.info().totalCpuDuration().orElse(Duration.ZERO);
  }

  /** What is in use after a full collection, in mebibytes. */
  double liveHeap() throws IOException, InterruptedException {
    Process jcmd =
        new ProcessBuilder(
                System.getProperty("java.home") + "/bin/jcmd",
                String.valueOf(process.pid()),
                "GC.class_histogram")
            .redirectErrorStream(true)
            .start();
    String last = "";
    try (BufferedReader lines = jcmd.inputReader(StandardCharsets.UTF_8)) {
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        last = line.isBlank() ? last : line;
      }
    }
    jcmd.waitFor();
    String[] words = last.trim().split(" +"); // "Total  COUNT  BYTES"
    return Double.parseDouble(words[words.length - 1]) / (1 << 20);
  }

  /** Most memory that the system has given it so far, in mebibytes. */
  double resident() throws IOException {
    for (String line : Files.readAllLines(Path.of("/proc/" + process.pid() + "/status"))) {
      if (line.startsWith("VmHWM:")) {
        return Double.parseDouble(line.replaceAll("\\D", "")) / 1024;
      }
    }
    return Double.NaN;
  }

  @Override
  public void close() {
    process.destroy();
    try {
      if (!process.waitFor(10, TimeUnit.SECONDS)) {
        process.destroyForcibly();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
