package kitproof.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import javax.sql.DataSource;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteDataSource;

/**
 * An index in a file.
 *
 * @param file the database
 * @param patience how long to wait for another program that is writing to it
 */
record SqlitePlace(Path file, Duration patience) implements IndexPlace {
  private static final Duration PATIENCE = Duration.ofSeconds(2);

  /** With the usual patience. */
  SqlitePlace(Path file) {
    this(file, PATIENCE);
  }

  @Override
  public DataSource source() {
    SQLiteConfig config = new SQLiteConfig();
    config.setTransactionMode(SQLiteConfig.TransactionMode.IMMEDIATE);
    config.setJournalMode(SQLiteConfig.JournalMode.WAL);
    config.setSynchronous(SQLiteConfig.SynchronousMode.NORMAL); // it can be made again
    config.enforceForeignKeys(true);
    config.setBusyTimeout((int) patience.toMillis());
    SQLiteDataSource source = new SQLiteDataSource(config);
    source.setUrl("jdbc:sqlite:" + file.toAbsolutePath());
    return source;
  }

  /** Removes it, whatever is in it. */
  void delete() throws IOException {
    for (String part : List.of("", "-wal", "-shm", "-journal")) {
      Files.deleteIfExists(file.resolveSibling(file.getFileName() + part));
    }
  }

  @Override
  public String toString() {
    return "the index " + file;
  }
}
