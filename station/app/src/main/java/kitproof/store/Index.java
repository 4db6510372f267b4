package kitproof.store;

import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import kitproof.journal.RunRecord;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.FlywayException;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.JdbiException;
import org.jdbi.v3.core.statement.PreparedBatch;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteDataSource;

/**
 * The records of a folder in a small database beside them, for questions about many.
 *
 * <p>It holds nothing that the documents do not: it may be deleted at any time and is made again by
 * {@link Indexing}. Whatever happens to it, no record is touched.
 */
public final class Index implements AutoCloseable {
  private static final String FILE = "index.sqlite";
  private static final Duration PATIENCE = Duration.ofSeconds(2);

  private final Handle handle;
  private final Path file;

  private Index(Handle handle, Path file) {
    this.handle = handle;
    this.file = file;
  }

  /** Where it is kept. */
  public static Path file(Path records) {
    return records.resolve(FILE);
  }

  /** What tells that a document is the one that was indexed, without reading it. */
  record Stamp(String document, long bytes, long modified) {}

  /**
   * One unit with what became of it.
   *
   * @param attempts how often it was run
   * @param first verdict of the first attempt
   * @param last verdict of the last one
   * @param reason of the last one; empty if it passed
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

  /**
   * Opens the index of a folder, making it or bringing it to this program's form first.
   *
   * @throws IndexException if it is broken, locked, or cannot be written
   */
  public static Index open(Path records) throws IndexException {
    Path file = file(records);
    SQLiteConfig config = new SQLiteConfig();
    config.setTransactionMode(SQLiteConfig.TransactionMode.IMMEDIATE);
    config.setJournalMode(SQLiteConfig.JournalMode.WAL);
    config.setSynchronous(SQLiteConfig.SynchronousMode.NORMAL); // it can be made again
    config.enforceForeignKeys(true);
    config.setBusyTimeout((int) PATIENCE.toMillis());
    SQLiteDataSource source = new SQLiteDataSource(config);
    source.setUrl("jdbc:sqlite:" + file.toAbsolutePath());
    try {
      Flyway.configure(Index.class.getClassLoader())
          .dataSource(source)
          .locations("classpath:kitproof/store")
          .load()
          .migrate();
      return new Index(Jdbi.create(source).open(), file);
    } catch (FlywayException | JdbiException e) {
      throw told(file, e);
    }
  }

  private static IndexException told(Path file, RuntimeException e) {
    Throwable cause = e;
    while (!(cause instanceof SQLException) && cause.getCause() != null) {
      cause = cause.getCause();
    }
    return new IndexException("the index " + file + " cannot be used: " + cause.getMessage(), e);
  }

  private <T> T doing(Function<Handle, T> work) throws IndexException {
    try {
      return work.apply(handle);
    } catch (JdbiException e) {
      throw told(file, e);
    }
  }

  /** Run to the stamp of the document it was indexed from. */
  Map<String, Stamp> stamps() throws IndexException {
    return doing(
        h -> {
          Map<String, Stamp> stamps = new HashMap<>();
          h.createQuery("SELECT run, document, bytes, modified FROM record")
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
    doing(
        h -> {
          h.useTransaction(
              t -> {
                t.createUpdate("DELETE FROM record WHERE run = :run")
                    .bind("run", record.run())
                    .execute();
                insert(t, record, stamp);
              });
          return true;
        });
  }

  private static void insert(Handle h, RunRecord record, Stamp stamp) {
    Instant ended = record.ended() == null ? record.started() : record.ended();
    h.createUpdate(
            "INSERT INTO record (run, document, bytes, modified, shop, station, unit, batch,"
                + " product, revision, plan, verdict, reason, started, ended) VALUES (:run,"
                + " :document, :bytes, :modified, :shop, :station, :unit, :batch, :product,"
                + " :revision, :plan, :verdict, :reason, :started, :ended)")
        .bind("run", record.run())
        .bind("document", stamp.document)
        .bind("bytes", stamp.bytes)
        .bind("modified", stamp.modified)
        .bind("shop", record.shop())
        .bind("station", record.station())
        .bind("unit", record.unit())
        .bind("batch", record.batch())
        .bind("product", record.product())
        .bind("revision", record.revision())
        .bind("plan", record.plan())
        .bind("verdict", String.valueOf(record.verdict()))
        .bind("reason", record.reason())
        .bind("started", record.started().toEpochMilli())
        .bind("ended", ended.toEpochMilli())
        .execute();
    List<ResultLine> lines = ResultLine.of(record);
    if (lines.isEmpty()) {
      return;
    }
    PreparedBatch batch =
        h.prepareBatch(
            "INSERT INTO result (run, place, step, name, conditions, value, unit, low, high,"
                + " outcome, detail) VALUES (:run, :place, :step, :name, :conditions, :value,"
                + " :unit, :low, :high, :outcome, :detail)");
    for (ResultLine line : lines) {
      batch
          .bind("run", record.run())
          .bind("place", line.place())
          .bind("step", line.step())
          .bind("name", line.name())
          .bind("conditions", line.conditions())
          .bind("value", line.value())
          .bind("unit", line.unit())
          .bind("low", line.low())
          .bind("high", line.high())
          .bind("outcome", line.outcome())
          .bind("detail", line.detail())
          .add();
    }
    batch.execute();
  }

  /** Forgets a run whose document is gone. */
  void remove(String run) throws IndexException {
    doing(h -> h.createUpdate("DELETE FROM record WHERE run = :run").bind("run", run).execute());
  }

  /** How many records are in it. */
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
    return doing(
        h ->
            h.createQuery(
                    "SELECT l.product, l.unit, l.batch, l.number, f.verdict AS first,"
                        + " l.verdict AS last, l.reason, l.started FROM attempt l"
                        + " JOIN attempt f ON f.product = l.product AND f.unit = l.unit"
                        + " AND f.number = 1"
                        + " WHERE l.from_last = 1 AND (:batch = '' OR l.batch = :batch)"
                        + " ORDER BY l.started, l.unit")
                .bind("batch", batch)
                .map(
                    (row, context) ->
                        new UnitOutcome(
                            row.getString("product"),
                            row.getString("unit"),
                            row.getString("batch"),
                            row.getInt("number"),
                            row.getString("first"),
                            row.getString("last"),
                            row.getString("last").equals("pass") ? "" : row.getString("reason"),
                            Instant.ofEpochMilli(row.getLong("started"))))
                .list());
  }

  @Override
  public void close() {
    handle.close();
  }
}
