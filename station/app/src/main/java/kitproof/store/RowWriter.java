package kitproof.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.sql.Types;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Rows into both kinds of database, by plain JDBC batches: this is where the time of a large index
 * goes.
 */
final class RowWriter {
  private static final String RECORD =
      "INSERT INTO record (id, folder, run, document, bytes, modified, shop, station, unit, batch,"
          + " product, revision, plan, verdict, reason, started, ended, calibrated,"
          + " calibration, reference)"
          + " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
          + " ON CONFLICT (id) DO UPDATE SET document = excluded.document, bytes = excluded.bytes,"
          + " modified = excluded.modified, shop = excluded.shop, station = excluded.station,"
          + " unit = excluded.unit, batch = excluded.batch, product = excluded.product,"
          + " revision = excluded.revision, plan = excluded.plan, verdict = excluded.verdict,"
          + " reason = excluded.reason, started = excluded.started, ended = excluded.ended,"
          + " calibrated = excluded.calibrated, calibration = excluded.calibration,"
          + " reference = excluded.reference";
  private static final String OLD_RESULTS = "DELETE FROM result WHERE record = ?";
  private static final String RESULT =
      "INSERT INTO result (record, place, step, name, conditions, value, unit, low, high, outcome,"
          + " detail) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";

  private RowWriter() {}

  /** Each in place of what was there of its run; within the caller's transaction. */
  static void write(Connection connection, String folder, List<Taken> records) throws SQLException {
    long[] ids = records.stream().mapToLong(one -> one.id(folder)).toArray();
    try (PreparedStatement record = connection.prepareStatement(RECORD)) {
      for (int i = 0; i < ids.length; i++) {
        bind(record, ids[i], folder, records.get(i));
        record.addBatch();
      }
      record.executeBatch();
    }
    // after the records' rows, which another writer of the same runs waits for
    try (PreparedStatement old = connection.prepareStatement(OLD_RESULTS)) {
      for (long id : ids) {
        old.setLong(1, id);
        old.addBatch();
      }
      old.executeBatch();
    }
    try (PreparedStatement result = connection.prepareStatement(RESULT)) {
      for (int i = 0; i < ids.length; i++) {
        for (ResultLine line : records.get(i).lines()) {
          bind(result, ids[i], line);
          result.addBatch();
        }
      }
      result.executeBatch();
    }
  }

  private static void bind(PreparedStatement record, long id, String folder, Taken one)
      throws SQLException {
    int i = 0;
    record.setLong(++i, id);
    record.setString(++i, folder);
    record.setString(++i, text(one.run()));
    record.setString(++i, text(one.stamp().document()));
    record.setLong(++i, one.stamp().bytes());
    record.setLong(++i, one.stamp().modified());
    record.setString(++i, text(one.shop()));
    record.setString(++i, text(one.station()));
    record.setString(++i, text(one.unit()));
    record.setString(++i, text(one.batch()));
    record.setString(++i, text(one.product()));
    record.setString(++i, text(one.revision()));
    record.setString(++i, text(one.plan()));
    record.setString(++i, one.verdict());
    record.setString(++i, text(one.reason()));
    record.setLong(++i, one.started());
    record.setLong(++i, one.ended());
    Boolean calibrated = one.calibrated();
    if (calibrated == null) {
      record.setNull(++i, Types.INTEGER);
    } else {
      record.setInt(++i, calibrated ? 1 : 0);
    }
    record.setString(++i, text(one.calibration()));
    record.setString(++i, text(one.reference()));
  }

  private static void bind(PreparedStatement result, long id, ResultLine line) throws SQLException {
    int i = 0;
    result.setLong(++i, id);
    result.setInt(++i, line.place());
    result.setString(++i, text(line.step()));
    result.setString(++i, text(line.name()));
    result.setString(++i, text(line.conditions()));
    number(result, ++i, line.value());
    result.setString(++i, line.unit());
    number(result, ++i, line.low());
    number(result, ++i, line.high());
    result.setString(++i, line.outcome());
    result.setString(++i, text(line.detail()));
  }

  private static void number(PreparedStatement statement, int place, @Nullable Double value)
      throws SQLException {
    if (value == null) {
      statement.setNull(place, Types.DOUBLE);
    } else {
      statement.setDouble(place, value);
    }
  }

  /** PostgreSQL has no place for NUL in a text. */
  private static String text(String text) {
    return text.indexOf('\0') < 0 ? text : text.replace('\0', '\uFFFD');
  }
}
