package kitproof.peer;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.concurrent.TimeUnit;

/** Programs of this machine that peers consist of. */
final class Programs {
  private static final Duration PATIENCE = Duration.ofSeconds(10);

  private Programs() {}

  /** Whether it has ended within this time. */
  static boolean ended(Process process, long millis) {
    try {
      return process.waitFor(millis, TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return true;
    }
  }

  /** Runs one to its end; what it said is in the message if it failed. */
  static void run(Path folder, String... command) throws IOException {
    Process process =
        new ProcessBuilder(command).directory(folder.toFile()).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    if (!ended(process, PATIENCE.toMillis()) || process.exitValue() != 0) {
      throw new IOException(String.join(" ", command) + " failed: " + said);
    }
  }

  /** Where a program is; Debian keeps the broker where a user's path may not lead. */
  static String find(String name) throws IOException {
    String path = System.getenv().getOrDefault("PATH", "") + File.pathSeparator + "/usr/sbin";
    for (String folder : path.split(File.pathSeparator)) {
      Path file = Path.of(folder, name);
      if (!folder.isEmpty() && Files.isExecutable(file)) {
        return file.toString();
      }
    }
    String debian =
        switch (name) {
          case "mosquitto_sub" -> "mosquitto-clients";
          case "openssl" -> "openssl";
          default -> "mosquitto";
        };
    throw new IOException(
        name
            + " is not installed; on Debian: apt-get install -y --no-install-recommends "
            + debian);
  }
}
