package kitproof.store;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import org.jdbi.v3.core.Handle;

/** What is asked of an index; one SQL for both kinds of database. */
final class IndexQueries {
  static final String UNITS =
      "SELECT l.product, l.unit, l.batch, l.number, f.verdict AS first,"
          + " l.verdict AS last, l.reason, l.started FROM attempt l"
          + " JOIN attempt f ON f.product = l.product AND f.unit = l.unit AND f.number = 1"
          + " WHERE l.from_last = 1 AND (:batch = '' OR l.batch = :batch)";

  private IndexQueries() {}

  /** Ordered here: the databases order texts each in its own way. */
  static List<Index.UnitOutcome> units(Handle handle, String batch) {
    return handle
        .createQuery(UNITS)
        .bind("batch", batch)
        .map(
            (row, context) ->
                new Index.UnitOutcome(
                    row.getString("product"),
                    row.getString("unit"),
                    row.getString("batch"),
                    row.getInt("number"),
                    row.getString("first"),
                    row.getString("last"),
                    row.getString("last").equals("pass") ? "" : row.getString("reason"),
                    Instant.ofEpochMilli(row.getLong("started"))))
        .stream()
        .sorted(
            Comparator.comparing(Index.UnitOutcome::tested).thenComparing(Index.UnitOutcome::unit))
        .toList();
  }
}
