package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/** A real file system of its own, small, in memory. Mounting needs root, as the build has it. */
public final class Tmpfs implements AutoCloseable {
  private final Path folder;

  private Tmpfs(Path folder) {
    this.folder = folder;
  }

  /**
   * Mounts it on a folder, which is made.
   *
   * @param megabytes how much it holds
   */
  public static Tmpfs on(Path folder, int megabytes) throws IOException, InterruptedException {
    Files.createDirectories(folder);
    command("mount", "-t", "tmpfs", "-o", "size=" + megabytes + "m", "tmpfs", folder.toString());
    return new Tmpfs(folder);
  }

  /** From now on nothing can be written. */
  void readOnly() throws IOException, InterruptedException {
    command("mount", "-o", "remount,ro", folder.toString());
  }

  /** Takes all the room that is left, and returns the file that has it. */
  public Path fill() throws IOException {
    Path filler = folder.resolve("filler");
    byte[] page = new byte[4096];
    try (OutputStream out = Files.newOutputStream(filler)) {
      while (true) {
        out.write(page);
      }
    } catch (IOException full) {
      assertThat(full).hasMessageContaining("No space left");
    }
    return filler;
  }

  private static void command(String... words) throws IOException, InterruptedException {
    Process process = new ProcessBuilder(words).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(process.waitFor()).as("%s: %s", String.join(" ", words), said).isZero();
  }

  /** Takes it away, also from under a program that has not quite ended. */
  @Override
  public void close() throws IOException, InterruptedException {
    command("umount", "--lazy", folder.toString());
  }
}
