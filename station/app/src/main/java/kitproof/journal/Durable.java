package kitproof.journal;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
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
    replace(file, text.getBytes(StandardCharsets.UTF_8), forced);
  }

  /** The same with bytes. */
  public static void replace(Path file, byte[] bytes, boolean forced) throws IOException {
    replace(file, out -> out.write(bytes), forced);
  }

  /** What goes into a file, where it would be too much to have it all in memory. */
  @FunctionalInterface
  public interface Content {
    void write(OutputStream out) throws IOException;
  }

  /**
   * The same, written piece by piece.
   *
   * @throws IOException if it could not be written, naming the file; the old one stands then
   */
  public static void replace(Path file, Content content, boolean forced) throws IOException {
    Path folder = folder(file);
    Path temporary = temporary(file);
    try {
      write(temporary, content, forced);
      Files.move(
          temporary, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } catch (FileSystemException e) {
      throw e; // it names the file
    } catch (IOException e) {
      throw new IOException(file + " cannot be written: " + e.getMessage(), e);
    } finally {
      Files.deleteIfExists(temporary);
    }
    if (forced) {
      forceFolder(folder);
    }
  }

  /**
   * Writes a new file, forced to disk, never over one that is there.
   *
   * @return whether it was written; false if there is one of this name
   * @throws IOException if it could not be written; it is not there then
   */
  public static boolean create(Path file, String text) throws IOException {
    Path folder = folder(file);
    if (Files.exists(file)) {
      return false;
    }
    Path temporary = temporary(file);
    try {
      write(temporary, out -> out.write(text.getBytes(StandardCharsets.UTF_8)), true);
      Files.move(temporary, file);
    } catch (FileAlreadyExistsException e) {
      return false;
    } catch (IOException e) {
      throw new IOException(file + " cannot be written: " + e.getMessage(), e);
    } finally {
      Files.deleteIfExists(temporary);
    }
    forceFolder(folder);
    return true;
  }

  private static Path folder(Path file) throws IOException {
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null) {
      throw new IOException("no file: " + file);
    }
    return folder;
  }

  private static Path temporary(Path file) {
    return file.resolveSibling("." + file.getFileName() + ".part");
  }

  private static void write(Path file, Content content, boolean forced) throws IOException {
    try (FileChannel channel =
        FileChannel.open(
            file,
            StandardOpenOption.CREATE,
            StandardOpenOption.TRUNCATE_EXISTING,
            StandardOpenOption.WRITE)) {
      OutputStream out = new BufferedOutputStream(Channels.newOutputStream(channel));
      content.write(out);
      out.flush();
      if (forced) {
        channel.force(true);
      }
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
