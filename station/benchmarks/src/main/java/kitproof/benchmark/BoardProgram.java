package kitproof.benchmark;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.TimeUnit;

/** {@code kitproof board} as a program of its own, in the memory that it is usually given. */
final class BoardProgram implements AutoCloseable {
  private static final String SAYS = "board: ";

  private final Process process;
  private final String address;
  private final long startedNanos;

  private BoardProgram(Process process, String address, long startedNanos) {
    this.process = process;
    this.address = address;
    this.startedNanos = startedNanos;
  }

  static BoardProgram start(String classPath, int brokerPort) throws IOException {
    long began = System.nanoTime();
    Process process =
        new ProcessBuilder(
                List.of(
                    System.getProperty("java.home") + "/bin/java",
                    "-Xmx256m",
                    "-XX:+UseSerialGC",
                    "-cp",
                    classPath,
                    "kitproof.cli.Main",
                    "board",
                    "--broker",
                    "mqtt://127.0.0.1:" + brokerPort,
                    "--port",
                    "0"))
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    BufferedReader lines = process.inputReader(StandardCharsets.UTF_8);
    String line = lines.readLine();
    if (line == null || !line.startsWith(SAYS)) {
      process.destroyForcibly();
      throw new IOException("the board did not start: " + line);
    }
    String address = line.substring(SAYS.length(), line.indexOf(" (from"));
    return new BoardProgram(process, address, began);
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
