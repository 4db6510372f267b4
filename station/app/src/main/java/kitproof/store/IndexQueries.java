package kitproof.store;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import org.jdbi.v3.core.Handle;

/** What is asked of an index; one SQL for both kinds of database. */
final class IndexQueries {
  /** Each unit by its last attempt; in one pass, as a join of attempts may be made row by row. */
  private static final String ATTEMPTED =
      "SELECT product, unit, batch, number, begun AS first, verdict AS last, reason, started FROM"
          + " (SELECT a.*, FIRST_VALUE(verdict) OVER (PARTITION BY product, unit ORDER BY number)"
          + " AS begun FROM attempt a) tried"
          + " WHERE from_last = 1 AND (:batch = '' OR batch = :batch)";

  /** Units with no attempt yet, as the station failed each time, by the last of these runs. */
  private static final String NEVER_ATTEMPTED =
      "SELECT product, unit, batch, 0 AS number, '' AS first, '' AS last, reason, started FROM"
          + " (SELECT e.*, ROW_NUMBER() OVER (PARTITION BY product, unit ORDER BY started DESC, run"
          + " DESC) AS back FROM record e WHERE verdict = 'error' AND NOT EXISTS (SELECT 1 FROM"
          + " record a WHERE a.product = e.product AND a.unit = e.unit AND a.verdict <> 'error'))"
          + " failed WHERE back = 1 AND (:batch = '' OR batch = :batch)";

  static final String UNITS = ATTEMPTED + " UNION ALL " + NEVER_ATTEMPTED;

  /** The runs of a batch. */
  static final String RUNS =
      "SELECT id, run, shop, station, unit, product, revision, plan, verdict, reason, started,"
          + " ended, calibrated, calibration, reference FROM record WHERE batch = :batch";

  /** What failed in them. */
  static final String FAILED =
      "SELECT r.record, r.place, r.step, r.name, r.conditions, r.outcome, r.detail"
          + " FROM record b JOIN result r ON r.record = b.id"
          + " WHERE b.batch = :batch AND r.outcome IN ('fail', 'in the guard band')"
          + " ORDER BY r.record, r.place";

  /** Each unit's last attempt in the batch; see the view "attempt" for which runs are some. */
  private static final String LAST =
      "SELECT id FROM (SELECT id, ROW_NUMBER() OVER (PARTITION BY unit ORDER BY started DESC, run"
          + " DESC) AS back FROM record WHERE batch = :batch AND verdict IN"
          + " ('pass', 'fail', 'aborted')) tried"
          + " WHERE back = 1";

  /** What was measured in the last attempts; in no order, which would cost more than the rest. */
  static final String VALUES =
      "SELECT r.record, r.place, r.name, r.conditions, r.unit, r.value, r.low, r.high FROM ("
          + LAST
          + ") t JOIN result r ON r.record = t.id WHERE r.value IS NOT NULL";

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
