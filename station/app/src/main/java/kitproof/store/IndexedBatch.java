package kitproof.store;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Unit;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.statement.Query;
import org.jspecify.annotations.Nullable;

/**
 * A batch as the index has it.
 *
 * @param runs by rising start, with the failed results only, none of them with its figure
 * @param columns every result with a single quantity, in the order of a plan
 */
public record IndexedBatch(List<RunRecord> runs, List<Column> columns) {
  private static final int AT_ONCE = 5000;

  /** How the conditions of a difference from a unit that was chosen say so, between separators. */
  private static final String CHOSEN = ";" + AgainstUnit.CONDITION + "=" + AgainstUnit.NAMED + ";";

  public IndexedBatch {
    runs = List.copyOf(runs);
    columns = List.copyOf(columns);
  }

  /**
   * One result over the units, each by its last attempt.
   *
   * @param chosen the unit that the values are differences from, where whoever started the runs had
   *     chosen it; else empty
   * @param unit of values and limits
   * @param low the lowest good value the last of them was judged by, or null
   * @param high likewise
   * @param limitChanged whether others were judged by another limit
   * @param rows indices into the runs, rising
   * @param values one for each
   */
  public record Column(
      String name,
      Conditions conditions,
      String chosen,
      Unit unit,
      @Nullable Double low,
      @Nullable Double high,
      boolean limitChanged,
      List<Integer> rows,
      List<Double> values) {
    public Column {
      rows = List.copyOf(rows);
      values = List.copyOf(values);
    }

    /** The values of those runs that have a new place. */
    private Column at(Map<Integer, Integer> places) {
      List<Integer> newRows = new ArrayList<>();
      List<Double> newValues = new ArrayList<>();
      for (int i = 0; i < rows.size(); i++) {
        Integer place = places.get(rows.get(i));
        if (place != null) {
          newRows.add(place);
          newValues.add(values.get(i));
        }
      }
      return new Column(
          name, conditions, chosen, unit, low, high, limitChanged, newRows, newValues);
    }
  }

  /** The same without the runs of these units, which are none of the batch. */
  public IndexedBatch without(Set<String> units) {
    List<RunRecord> kept = new ArrayList<>();
    Map<Integer, Integer> places = new HashMap<>();
    for (int i = 0; i < runs.size(); i++) {
      if (!units.contains(runs.get(i).unit())) {
        places.put(i, kept.size());
        kept.add(runs.get(i));
      }
    }
    return new IndexedBatch(
        kept,
        columns.stream()
            .map(column -> column.at(places))
            .filter(column -> !column.rows.isEmpty())
            .toList());
  }

  /** Within one transaction, so that every question is answered of the same moment. */
  static IndexedBatch of(Handle handle, String batch) {
    return handle.inTransaction(
        h -> {
          Map<Long, List<RunRecord.Step>> failed = new HashMap<>();
          asked(h, IndexQueries.FAILED, batch)
              .map((row, context) -> Map.entry(row.getLong("record"), failure(row)))
              .forEach(
                  one ->
                      failed
                          .computeIfAbsent(one.getKey(), id -> new ArrayList<>())
                          .add(one.getValue()));
          Map<Long, String> references = new HashMap<>();
          List<Map.Entry<Long, RunRecord>> runs =
              asked(h, IndexQueries.RUNS, batch)
                  .map(
                      (row, context) -> {
                        long id = row.getLong("id");
                        references.put(id, row.getString("reference"));
                        return Map.entry(id, run(row, batch, failed.getOrDefault(id, List.of())));
                      })
                  .stream()
                  .sorted(
                      Map.Entry.comparingByValue(
                          Comparator.comparing(RunRecord::started).thenComparing(RunRecord::run)))
                  .toList();
          return new IndexedBatch(
              runs.stream().map(Map.Entry::getValue).toList(), columns(h, batch, runs, references));
        });
  }

  private static Query asked(Handle handle, String sql, String batch) {
    return handle.createQuery(sql).setFetchSize(AT_ONCE).bind("batch", batch);
  }

  private record Key(String name, String conditions, String chosen, String unit) {}

  /** A column as it fills, in whichever order the rows come; NaN where there is no limit. */
  private static final class Filling {
    final double[] values;
    final int[] places;
    final double[] low;
    final double[] high;
    int first = Integer.MAX_VALUE;

    Filling(int rows) {
      values = new double[rows];
      places = new int[rows];
      Arrays.fill(places, -1);
      low = new double[rows];
      high = new double[rows];
    }

    void take(int at, ResultSet row) throws SQLException {
      int place = row.getInt(2);
      first = Math.min(first, place);
      if (place > places[at]) { // measured twice: as it was measured last
        places[at] = place;
        values[at] = row.getDouble(6);
        low[at] = number(row, 7);
        high[at] = number(row, 8);
      }
    }

    private static double number(ResultSet row, int column) throws SQLException {
      double value = row.getDouble(column);
      return row.wasNull() ? Double.NaN : value;
    }
  }

  private static List<Column> columns(
      Handle handle,
      String batch,
      List<Map.Entry<Long, RunRecord>> runs,
      Map<Long, String> references) {
    Map<Long, Integer> rows = new HashMap<>();
    List<String> chosen = new ArrayList<>();
    for (int i = 0; i < runs.size(); i++) {
      rows.put(runs.get(i).getKey(), i);
      chosen.add(references.getOrDefault(runs.get(i).getKey(), ""));
    }
    Map<Key, Filling> found = new LinkedHashMap<>();
    asked(handle, IndexQueries.VALUES, batch)
        .scanResultSet(
            (results, context) -> {
              try (context) {
                ResultSet row = results.get();
                while (row.next()) { // a million times: no more than needed is done here
                  Integer at = rows.get(row.getLong(1));
                  if (at != null) {
                    String conditions = row.getString(4);
                    String unit = chosen.get(at);
                    boolean from = !unit.isEmpty() && (";" + conditions + ";").contains(CHOSEN);
                    Key key =
                        new Key(row.getString(3), conditions, from ? unit : "", row.getString(5));
                    found.computeIfAbsent(key, k -> new Filling(runs.size())).take(at, row);
                  }
                }
                return found;
              }
            });
    return found.entrySet().stream()
        .sorted(
            Comparator.comparingInt((Map.Entry<Key, Filling> one) -> one.getValue().first)
                .thenComparing(one -> one.getKey().chosen))
        .map(one -> column(one.getKey(), one.getValue()))
        .toList();
  }

  private static Column column(Key key, Filling filling) {
    List<Integer> rows = new ArrayList<>();
    List<Double> values = new ArrayList<>();
    double low = Double.NaN;
    double high = Double.NaN;
    boolean changed = false;
    for (int i = 0; i < filling.places.length; i++) {
      if (filling.places[i] >= 0) {
        rows.add(i);
        values.add(filling.values[i]);
        if (!Double.isNaN(filling.low[i]) || !Double.isNaN(filling.high[i])) {
          boolean had = !Double.isNaN(low) || !Double.isNaN(high);
          boolean same =
              Double.compare(low, filling.low[i]) == 0
                  && Double.compare(high, filling.high[i]) == 0;
          changed |= had && !same;
          low = filling.low[i];
          high = filling.high[i];
        }
      }
    }
    return new Column(
        key.name,
        ResultLine.conditions(key.conditions),
        key.chosen,
        Unit.ofSymbol(key.unit).orElse(Unit.ONE),
        Double.isNaN(low) ? null : low,
        Double.isNaN(high) ? null : high,
        changed,
        rows,
        values);
  }

  private static RunRecord.Step failure(ResultSet row) throws SQLException {
    Conditions conditions = ResultLine.conditions(row.getString("conditions"));
    Measurement measurement =
        Measurement.invalid(
            row.getString("name"), conditions, "the figure is in its document only");
    Judgement judgement = new Judgement(Judgement.Outcome.FAIL, null, row.getString("detail"));
    return new RunRecord.Step(
        row.getInt("place"),
        row.getString("step"),
        "",
        conditions,
        null,
        "",
        Duration.ZERO,
        List.of(new RunRecord.Result(measurement, judgement)));
  }

  private static @Nullable Verdict verdict(String word) {
    return Arrays.stream(Verdict.values())
        .filter(one -> one.toString().equals(word))
        .findFirst()
        .orElse(null);
  }

  static RunRecord run(ResultSet row, String batch, List<RunRecord.Step> failed)
      throws SQLException {
    return new RunRecord(
        row.getString("run"),
        row.getString("shop"),
        row.getString("station"),
        row.getString("unit"),
        batch,
        row.getString("product"),
        row.getString("revision"),
        row.getString("plan"),
        1,
        verdict(row.getString("verdict")),
        row.getString("reason"),
        failed.stream().map(step -> step.results().get(0).measurement().title()).toList(),
        Instant.ofEpochMilli(row.getLong("started")),
        Instant.ofEpochMilli(row.getLong("ended")),
        Map.of(),
        Map.of(),
        failed,
        List.of(),
        List.of(),
        List.of(),
        SafeToOpen.UNKNOWN,
        told(row));
  }

  /** Of its events only how the bench stood to its calibration. */
  private static List<Entry> told(ResultSet row) throws SQLException {
    int calibrated = row.getInt("calibrated");
    if (row.wasNull()) {
      return List.of();
    }
    Instant started = Instant.ofEpochMilli(row.getLong("started"));
    Event told =
        new Event.CalibrationTold(calibrated == 1, row.getString("calibration"), List.of());
    return List.of(new Entry(row.getString("run"), 1, started, told));
  }
}
