package kitproof.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;

/** Files that are there whole or not at all. */
public final class Durable {
  private Durable() {}

  /**
   * Replaces a file: a temporary file in the same folder, then a move over the old one.
   *
   * @param forced whether it must survive the loss of power from here on
   * @throws IOException if it could not be written; the old one stands then
   */
  public static void replace(Path file, String text, boolean forced) throws IOException {
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null) {
      throw new IOException("no file: " + file);
    }
    Path temporary = folder.resolve("." + file.getFileName() + ".part");
    try {
      try (FileChannel channel =
          FileChannel.open(
              temporary,
              StandardOpenOption.CREATE,
              StandardOpenOption.TRUNCATE_EXISTING,
              StandardOpenOption.WRITE)) {
        ByteBuffer bytes = ByteBuffer.wrap(text.getBytes(StandardCharsets.UTF_8));
        while (bytes.hasRemaining()) {
          channel.write(bytes);
        }
        if (forced) {
          channel.force(true);
        }
      }
      Files.move(
          temporary, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } finally {
      Files.deleteIfExists(temporary);
    }
    if (forced) {
      forceFolder(folder);
    }
  }

  /** Makes the names in a folder durable, on systems that let a folder be opened. */
  static void forceFolder(Path folder) {
    try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
      channel.force(true);
    } catch (IOException e) {
      // Windows does not open folders, and keeps their entries itself.
      return;
    }
  }
}
