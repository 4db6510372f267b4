package kitproof.store;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jdbi.v3.core.Handle;

/** Runs of check standards as the index has them: with their single figures, all of every run. */
final class IndexedChecks {
  private static final String RUNS =
      "SELECT id, run, shop, station, unit, batch, product, revision, plan, verdict, reason,"
          + " started, ended, calibrated, calibration FROM record WHERE unit IN (<units>)";

  private static final String VALUES =
      "SELECT r.record, r.place, r.step, r.name, r.conditions, r.unit, r.value FROM record b"
          + " JOIN result r ON r.record = b.id"
          + " WHERE b.unit IN (<units>) AND r.value IS NOT NULL ORDER BY r.record, r.place";

  private IndexedChecks() {}

  /**
   * By rising start, whichever batch they were given and whichever station made them.
   *
   * @param units serial numbers, at least one
   */
  static List<RunRecord> of(Handle handle, Set<String> units) {
    return handle.inTransaction(
        h -> {
          Map<Long, List<RunRecord.Step>> found = new LinkedHashMap<>();
          h.createQuery(VALUES)
              .bindList("units", List.copyOf(units))
              .map(
                  (row, context) ->
                      Map.entry(
                          row.getLong("record"),
                          step(
                              row.getInt("place"),
                              row.getString("step"),
                              Measurement.of(
                                  row.getString("name"),
                                  ResultLine.conditions(row.getString("conditions")),
                                  Quantity.of(
                                      row.getDouble("value"),
                                      Unit.ofSymbol(row.getString("unit")).orElse(Unit.ONE))))))
              .forEach(
                  one ->
                      found
                          .computeIfAbsent(one.getKey(), id -> new ArrayList<>())
                          .add(one.getValue()));
          return h
              .createQuery(RUNS)
              .bindList("units", List.copyOf(units))
              .map(
                  (row, context) ->
                      IndexedBatch.run(
                          row,
                          row.getString("batch"),
                          found.getOrDefault(row.getLong("id"), List.of())))
              .stream()
              .sorted(Comparator.comparing(RunRecord::started).thenComparing(RunRecord::run))
              .toList();
        });
  }

  private static RunRecord.Step step(int place, String name, Measurement measurement) {
    return new RunRecord.Step(
        place,
        name,
        "",
        Conditions.NONE,
        null,
        "",
        Duration.ZERO,
        List.of(
            new RunRecord.Result(
                measurement, new Judgement(Judgement.Outcome.NOT_JUDGED, null, ""))));
  }
}
