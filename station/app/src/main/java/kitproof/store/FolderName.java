package kitproof.store;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.SecureRandom;
import java.util.HexFormat;
import kitproof.journal.Durable;

/**
 * The name under which a shared index knows a folder of records: drawn once, kept in the folder, so
 * that it goes with it wherever it is moved or copied to.
 */
final class FolderName {
  private static final Object TURN = new Object();
  private static final String FILE = "folder.id";
  private static final String LOCK = "index.lock";

  /** Something that one program at a time does to a folder's index. */
  interface Work<T> {
    T run() throws IOException, IndexException;
  }

  private FolderName() {}

  /** The folder's name, drawn now if it has none. */
  static String of(Path records) throws IOException, IndexException {
    Path file = records.resolve(FILE);
    return inTurn(
        records,
        () -> {
          if (!Files.exists(file)) {
            byte[] drawn = new byte[16]; // no two folders on earth draw the same
            new SecureRandom().nextBytes(drawn);
            Durable.replace(file, HexFormat.of().formatHex(drawn) + "\n", true);
          }
          String name = Files.readString(file).strip();
          if (!name.matches("[0-9a-f]{32}")) {
            throw new IOException(
                file + ": found \"" + name + "\"; expected the name that a program drew for it");
          }
          return name;
        });
  }

  /** Does something while no other program does the like to the same folder. */
  static <T> T inTurn(Path records, Work<T> work) throws IOException, IndexException {
    synchronized (TURN) {
      try (FileChannel channel =
              FileChannel.open(
                  records.resolve(LOCK), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
          FileLock turn = channel.lock()) {
        return work.run();
      }
    }
  }
}
