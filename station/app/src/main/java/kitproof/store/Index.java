package kitproof.store;

import java.io.IOException;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import kitproof.journal.RunRecord;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.FlywayException;
import org.flywaydb.core.api.MigrationInfo;
import org.flywaydb.core.api.configuration.FluentConfiguration;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.JdbiException;

/**
 * The records of a folder in a database, for questions about many: one in a file beside them, or
 * one that several stations share.
 *
 * <p>It holds nothing that the documents do not: it may be deleted at any time and is made again by
 * {@link Indexing}. Whatever happens to it, no record is touched.
 */
public final class Index implements AutoCloseable {
  private static final String FILE = "index.sqlite";
  private static final int TRIES = 3;

  private final Handle handle;
  private final IndexPlace place;
  private final String folder;

  private Index(Handle handle, IndexPlace place, String folder) {
    this.handle = handle;
    this.place = place;
    this.folder = folder;
  }

  /** Where it is kept unless a PostgreSQL is named. */
  public static Path file(Path records) {
    return records.resolve(FILE);
  }

  /** What tells that a document is the one that was indexed, without reading it. */
  record Stamp(String document, long bytes, long modified) {}

  /**
   * One unit with what became of it.
   *
   * @param attempts runs that did not end in error, over all stations and batches
   * @param first verdict of the first attempt; empty if there is none
   * @param last verdict of the last one, likewise
   * @param reason of the last one, or of the last error if there is no attempt; empty if it passed
   */
  public record UnitOutcome(
      String product,
      String unit,
      String batch,
      int attempts,
      String first,
      String last,
      String reason,
      Instant tested) {}

  /** Something to do with the database. */
  private interface Work<T> {
    T with(Handle handle) throws SQLException;
  }

  /**
   * Opens the index beside a folder, making it or bringing it to this program's form first.
   *
   * @throws IndexException if it is broken, locked, or cannot be written
   */
  public static Index open(Path records) throws IndexException {
    return open(records, IndexPlace.beside(records));
  }

  /**
   * Opens the index of a folder wherever it is, making it or bringing it to this program's form.
   *
   * @throws IndexException if it is broken, locked, not reached, or cannot be written
   */
  public static Index open(Path records, IndexPlace place) throws IndexException {
    try {
      if (place instanceof PostgresPlace) {
        String folder = FolderName.of(records);
        migrate(place); // the server lets one program at a time do that
        return opened(place, folder);
      }
      return FolderName.inTurn(
          records,
          () -> {
            migrate(place);
            return opened(place, "");
          });
    } catch (FlywayException | JdbiException | IOException e) {
      throw IndexException.told(place, e);
    }
  }

  /**
   * Opens a shared index to ask it, without a folder of one's own.
   *
   * @throws IndexException if it is not reached, or in a form that this program does not know
   */
  public static Index open(PostgresPlace place) throws IndexException {
    try {
      migrate(place);
      return opened(place, "");
    } catch (FlywayException | JdbiException e) {
      throw IndexException.told(place, e);
    }
  }

  private static Index opened(IndexPlace place, String folder) {
    return new Index(Jdbi.create(place.source()).open(), place, folder);
  }

  private static void migrate(IndexPlace place) throws IndexException {
    FluentConfiguration configuration =
        Flyway.configure(Index.class.getClassLoader())
            .dataSource(place.source())
            .locations("classpath:kitproof/store");
    if (place instanceof PostgresPlace) {
      configuration.schemas(PostgresPlace.SCHEMA);
    }
    Flyway flyway = configuration.load();
    MigrationInfo[] applied = flyway.info().applied();
    for (MigrationInfo one : applied) {
      if (!one.getState().isResolved()) {
        throw new IndexException(
            place
                + " cannot be used: a newer program has brought it to form "
                + one.getVersion()
                + ", which this one does not know; use that program, or another index",
            null);
      }
    }
    flyway.migrate();
  }

  private <T> T doing(Work<T> work) throws IndexException {
    try {
      return work.with(handle);
    } catch (JdbiException | SQLException e) {
      throw IndexException.told(place, e);
    }
  }

  <T> List<T> asking(Function<Handle, List<T>> question) throws IndexException {
    return doing(question::apply);
  }

  /** Where it is. */
  public IndexPlace place() {
    return place;
  }

  /** Run to the stamp of the document it was indexed from, of this folder. */
  Map<String, Stamp> stamps() throws IndexException {
    return doing(
        h -> {
          Map<String, Stamp> stamps = new HashMap<>();
          h.createQuery("SELECT run, document, bytes, modified FROM record WHERE folder = :folder")
              .bind("folder", folder)
              .map(
                  (row, context) ->
                      Map.entry(
                          row.getString("run"),
                          new Stamp(
                              row.getString("document"),
                              row.getLong("bytes"),
                              row.getLong("modified"))))
              .forEach(entry -> stamps.put(entry.getKey(), entry.getValue()));
          return stamps;
        });
  }

  /** Takes a record in, in place of what was there of its run; all of it or nothing. */
  void put(RunRecord record, Stamp stamp) throws IndexException {
    put(List.of(Taken.of(record, stamp)));
  }

  /**
   * Takes records in, each in place of what was there of its run; all of them or none. Where two
   * programs that write the same runs get in each other's way, or a run is there with another
   * beginning, it is tried once more.
   */
  void put(List<Taken> records) throws IndexException {
    for (int tries = 1; ; tries++) {
      try {
        doing(
            h -> {
              h.useTransaction(t -> RowWriter.write(t.getConnection(), folder, records));
              return true;
            });
        return;
      } catch (IndexException e) {
        if (tries == TRIES || !e.isPassing()) {
          throw e;
        }
        if (e.isTwice()) {
          remove(records.stream().map(Taken::run).toList());
        }
      }
    }
  }

  /** Forgets runs whose documents are gone. */
  void remove(Iterable<String> runs) throws IndexException {
    doing(
        h -> {
          h.useTransaction(
              t -> {
                for (String run : runs) {
                  t.createUpdate("DELETE FROM record WHERE folder = :folder AND run = :run")
                      .bind("folder", folder)
                      .bind("run", run)
                      .execute();
                }
              });
          return true;
        });
  }

  /** Forgets everything of this folder; of others nothing. */
  void clear() throws IndexException {
    doing(
        h -> {
          h.useTransaction(
              t -> {
                if (place instanceof SqlitePlace) {
                  t.execute("DELETE FROM result"); // all at once, where there is one folder only
                }
                t.createUpdate("DELETE FROM record WHERE folder = :folder")
                    .bind("folder", folder)
                    .execute();
              });
          return true;
        });
  }

  /** Whether the database says of its file that it is whole. */
  boolean isSound() {
    try {
      return doing(h -> h.createQuery("PRAGMA quick_check").mapTo(String.class).list())
          .equals(List.of("ok"));
    } catch (IndexException e) {
      return false;
    }
  }

  /** How many records are in it, of this folder and of all others. */
  public int records() throws IndexException {
    return doing(h -> h.createQuery("SELECT COUNT(*) FROM record").mapTo(Integer.class).one());
  }

  /** How many results are in it. */
  public int results() throws IndexException {
    return doing(h -> h.createQuery("SELECT COUNT(*) FROM result").mapTo(Integer.class).one());
  }

  /**
   * Every unit, the one tested last at the end.
   *
   * @param batch only units whose last attempt was in it; any if empty
   */
  public List<UnitOutcome> units(String batch) throws IndexException {
    return asking(h -> IndexQueries.units(h, batch));
  }

  /**
   * What the index has of a batch: its runs with what failed in them, and every result with a
   * single quantity over the units. Curves, notices and events are in the documents only.
   *
   * @param batch its name
   */
  public IndexedBatch batch(String batch) throws IndexException {
    return doing(h -> IndexedBatch.of(h, batch));
  }

  /**
   * Every run of these units with its single figures, by rising start: what a check standard's
   * drift is told from.
   *
   * @param units serial numbers, at least one
   */
  public List<RunRecord> checks(Set<String> units) throws IndexException {
    return doing(h -> IndexedChecks.of(h, units));
  }

  /** The documents of a batch's runs in this folder, in order of time. */
  public List<String> documents(String batch) throws IndexException {
    return asking(
        h ->
            h.createQuery(
                    "SELECT document FROM record WHERE batch = :batch AND folder = :folder ORDER BY"
                        + " started, id")
                .bind("batch", batch)
                .bind("folder", folder)
                .mapTo(String.class)
                .list());
  }

  /** The names of the batches in it. */
  public List<String> batches() throws IndexException {
    return asking(
        h ->
            h.createQuery("SELECT DISTINCT batch FROM record WHERE batch <> ''")
                .mapTo(String.class)
                .list());
  }

  @Override
  public void close() {
    try {
      handle.close();
    } catch (JdbiException e) {
      return; // the connection is gone, which is what was wanted
    }
  }
}
