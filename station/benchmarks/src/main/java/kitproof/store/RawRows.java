package kitproof.store;

import java.io.IOException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.IntFunction;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;

/** The same work as the index does, by hand: plain JDBC on the same tables. */
public final class RawRows {
  private static final int ROWS_AT_ONCE = 5000;
  private static final String RECORD =
      "INSERT INTO record (id, folder, run, document, bytes, modified, shop, station, unit, batch,"
          + " product, revision, plan, verdict, reason, started, ended)"
          + " VALUES (?, '', ?, ?, 1, 1, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
  private static final String RESULT =
      "INSERT INTO result (record, place, step, name, conditions, value, unit, low, high, outcome,"
          + " detail) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";

  private RawRows() {}

  /** Records through the index, in the portions of a rebuild; seconds. */
  public static double throughIndex(
      Path records, IndexPlace place, int count, IntFunction<RunRecord> made)
      throws IndexException {
    double seconds = 0;
    try (Index index = Index.open(records, place)) {
      List<Taken> portion = new ArrayList<>();
      int rows = 0;
      for (int i = 0; i < count; i++) {
        RunRecord record = made.apply(i);
        long start = System.nanoTime();
        Taken taken = Taken.of(record, new Index.Stamp(record.run() + ".json", 1, 1));
        portion.add(taken);
        rows += 1 + taken.lines().size();
        if (rows >= ROWS_AT_ONCE || i == count - 1) {
          index.put(List.copyOf(portion));
          portion.clear();
          rows = 0;
        }
        seconds += (System.nanoTime() - start) / 1e9;
      }
    }
    return seconds;
  }

  /** The same rows by JDBC batches in transactions of the same size; seconds. */
  public static double byHand(
      Path records, IndexPlace place, int count, IntFunction<RunRecord> made)
      throws IndexException, SQLException {
    Index.open(records, place).close(); // makes the tables
    double seconds = 0;
    try (Connection connection = place.source().getConnection()) {
      connection.setAutoCommit(false);
      try (PreparedStatement record = connection.prepareStatement(RECORD);
          PreparedStatement result = connection.prepareStatement(RESULT)) {
        int rows = 0;
        for (int i = 0; i < count; i++) {
          Taken one = Taken.of(made.apply(i), new Index.Stamp("", 1, 1));
          long start = System.nanoTime();
          long id = one.id(""); // the same keys, so that the tables are as large
          bind(record, id, one);
          record.addBatch();
          for (ResultLine line : one.lines()) {
            bind(result, id, line);
            result.addBatch();
          }
          rows += 1 + one.lines().size();
          if (rows >= ROWS_AT_ONCE || i == count - 1) {
            record.executeBatch();
            result.executeBatch();
            connection.commit();
            rows = 0;
          }
          seconds += (System.nanoTime() - start) / 1e9;
        }
      }
    }
    return seconds;
  }

  private static void bind(PreparedStatement record, long id, Taken one) throws SQLException {
    Object[] values = {
      id,
      one.run(),
      one.run(),
      one.shop(),
      one.station(),
      one.unit(),
      one.batch(),
      one.product(),
      one.revision(),
      one.plan(),
      one.verdict(),
      one.reason(),
      one.started(),
      one.ended()
    };
    for (int i = 0; i < values.length; i++) {
      record.setObject(i + 1, values[i]);
    }
  }

  private static void bind(PreparedStatement result, long id, ResultLine line) throws SQLException {
    result.setLong(1, id);
    result.setInt(2, line.place());
    result.setString(3, line.step());
    result.setString(4, line.name());
    result.setString(5, line.conditions());
    result.setObject(6, line.value(), Types.DOUBLE);
    result.setString(7, line.unit());
    result.setObject(8, line.low(), Types.DOUBLE);
    result.setObject(9, line.high(), Types.DOUBLE);
    result.setString(10, line.outcome());
    result.setString(11, line.detail());
  }

  /** What {@link Index#batch} asks, asked by JDBC, every column of every row read; seconds. */
  public static double askedByHand(IndexPlace place, String batch) throws SQLException {
    long start = System.nanoTime();
    try (Connection connection = place.source().getConnection()) {
      connection.setAutoCommit(false);
      for (String sql : List.of(IndexQueries.FAILED, IndexQueries.RUNS, IndexQueries.VALUES)) {
        read(connection, sql, Map.of(":batch", batch));
      }
      connection.commit();
    }
    return (System.nanoTime() - start) / 1e9;
  }

  /** What {@link Index#units} asks, likewise. */
  public static double unitsByHand(IndexPlace place, String batch) throws SQLException {
    long start = System.nanoTime();
    try (Connection connection = place.source().getConnection()) {
      connection.setAutoCommit(false);
      read(connection, IndexQueries.UNITS, Map.of(":batch", batch));
      connection.commit();
    }
    return (System.nanoTime() - start) / 1e9;
  }

  private static void read(Connection connection, String named, Map<String, String> values)
      throws SQLException {
    String sql = named.replace(":batch", "?");
    try (PreparedStatement statement = connection.prepareStatement(sql)) {
      statement.setFetchSize(ROWS_AT_ONCE);
      int places = statement.getParameterMetaData().getParameterCount();
      for (int i = 1; i <= places; i++) {
        statement.setString(i, values.get(":batch"));
      }
      try (ResultSet rows = statement.executeQuery()) {
        int columns = rows.getMetaData().getColumnCount();
        while (rows.next()) {
          for (int i = 1; i <= columns; i++) {
            var unused = rows.getObject(i);
          }
        }
      }
    }
  }

  /** Reads and takes apart so many documents as a rebuild does, without an index; seconds. */
  public static double documentsRead(Path records, int most) throws IOException {
    long start = System.nanoTime();
    for (Path document : Documents.in(records).stream().limit(most).toList()) {
      RunRecord record = RecordDocument.read(document);
      if (ResultLine.of(record).isEmpty()) {
        throw new IOException(document + ": no results");
      }
    }
    return (System.nanoTime() - start) / 1e9;
  }
}
