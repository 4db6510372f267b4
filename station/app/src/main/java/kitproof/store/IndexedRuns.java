package kitproof.store;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jdbi.v3.core.Handle;
import org.jspecify.annotations.Nullable;

/** Runs as far as the index has them. */
final class IndexedRuns {
  static final String RUNS =
      "SELECT id, run, shop, station, unit, batch, product, revision, plan, verdict, reason,"
          + " started, ended FROM record WHERE (:batch = '' OR batch = :batch)";
  static final String RESULTS =
      "SELECT r.record, r.place, r.step, r.name, r.conditions, r.value, r.unit, r.low, r.high,"
          + " r.outcome, r.detail FROM result r JOIN record b ON b.id = r.record"
          + " WHERE (:batch = '' OR b.batch = :batch) ORDER BY r.record, r.place";
  private static final int AT_ONCE = 5000;

  private IndexedRuns() {}

  static List<RunRecord> of(Handle handle, String batch) {
    // within one transaction, so that both questions are answered of one moment, and PostgreSQL
    // hands the rows over in portions
    return handle.inTransaction(
        h -> {
          Map<Long, List<RunRecord.Step>> steps = new LinkedHashMap<>();
          h.createQuery(RESULTS)
              .setFetchSize(AT_ONCE)
              .bind("batch", batch)
              .map((row, context) -> Map.entry(row.getLong("record"), step(row)))
              .forEach(
                  one ->
                      steps
                          .computeIfAbsent(one.getKey(), id -> new ArrayList<>())
                          .add(one.getValue()));
          return h
              .createQuery(RUNS)
              .bind("batch", batch)
              .map((row, context) -> run(row, steps.getOrDefault(row.getLong("id"), List.of())))
              .stream()
              .sorted(Comparator.comparing(RunRecord::started).thenComparing(RunRecord::run))
              .toList();
        });
  }

  private static RunRecord.Step step(ResultSet row) throws SQLException {
    Conditions conditions = conditions(row.getString("conditions"));
    Unit unit = Unit.ofSymbol(row.getString("unit")).orElse(Unit.ONE);
    double value = row.getDouble("value");
    Figure figure =
        row.wasNull()
            ? new Figure.Invalid("not in the index: its document has it")
            : new Figure.OfQuantity(Quantity.of(value, unit));
    Quantity low = quantity(row, "low", unit);
    Quantity high = quantity(row, "high", unit);
    Limit limit = low == null && high == null ? null : new Limit.Scalar(low, high);
    RunRecord.Result result =
        new RunRecord.Result(
            new Measurement(row.getString("name"), conditions, figure),
            new Judgement(outcome(row.getString("outcome")), limit, row.getString("detail")));
    return new RunRecord.Step(
        row.getInt("place"),
        row.getString("step"),
        "",
        conditions,
        null,
        "",
        Duration.ZERO,
        List.of(result));
  }

  private static @Nullable Quantity quantity(ResultSet row, String column, Unit unit)
      throws SQLException {
    double value = row.getDouble(column);
    return row.wasNull() ? null : Quantity.of(value, unit);
  }

  /** The inverse of {@link ResultLine}'s words; a value may hold "=" but no ";". */
  private static Conditions conditions(String text) {
    Map<String, String> values = new LinkedHashMap<>();
    for (String part : text.isEmpty() ? new String[0] : text.split(";", -1)) {
      int at = part.indexOf('=');
      values.put(part.substring(0, Math.max(0, at)), part.substring(at + 1));
    }
    return new Conditions(values);
  }

  private static Judgement.Outcome outcome(String word) {
    for (Judgement.Outcome one : Judgement.Outcome.values()) {
      if (one.toString().equals(word)) {
        return one;
      }
    }
    return Judgement.Outcome.NOT_JUDGED;
  }

  private static @Nullable Verdict verdict(String word) {
    for (Verdict one : Verdict.values()) {
      if (one.toString().equals(word)) {
        return one;
      }
    }
    return null;
  }

  private static RunRecord run(ResultSet row, List<RunRecord.Step> steps) throws SQLException {
    List<String> failed =
        steps.stream()
            .flatMap(step -> step.results().stream())
            .filter(result -> result.judgement().outcome().fails())
            .map(result -> result.measurement().title())
            .toList();
    return new RunRecord(
        row.getString("run"),
        row.getString("shop"),
        row.getString("station"),
        row.getString("unit"),
        row.getString("batch"),
        row.getString("product"),
        row.getString("revision"),
        row.getString("plan"),
        1,
        verdict(row.getString("verdict")),
        row.getString("reason"),
        failed,
        Instant.ofEpochMilli(row.getLong("started")),
        Instant.ofEpochMilli(row.getLong("ended")),
        Map.of(),
        Map.of(),
        steps,
        List.of(),
        List.of(),
        List.of(),
        SafeToOpen.UNKNOWN,
        List.of());
  }
}
