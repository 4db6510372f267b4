package kitproof.batch;

import java.io.IOException;
import java.io.OutputStreamWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import java.util.stream.Collectors;
import kitproof.journal.Durable;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;
import org.jspecify.annotations.Nullable;

/**
 * A batch as tables for other programs: {@code units.csv}, {@code results.csv}, and {@code
 * columns.csv}, which says what each column means.
 *
 * <p>Comma, quotes where needed, UTF-8, CRLF (RFC 4180); numbers with a point, exact, in the plain
 * unit beside them; times as ISO 8601 in UTC. The same in every locale. {@link JsonExport} writes
 * the same columns.
 */
public final class CsvExport {
  private static final CSVFormat FORMAT = CSVFormat.RFC4180;

  record Column<T>(String name, String meaning, Function<T, @Nullable Object> of) {}

  /** A result with where it stands. */
  record Row(
      UnitHistory unit, RunRecord run, int attempt, RunRecord.Step step, RunRecord.Result result) {
    @Nullable Quantity quantity() {
      return result.measurement().figure() instanceof Figure.OfQuantity one ? one.quantity() : null;
    }

    Limit.@Nullable Scalar limit() {
      return result.judgement().limit() instanceof Limit.Scalar scalar ? scalar : null;
    }
  }

  static final List<Column<UnitHistory>> UNITS =
      List.of(
          new Column<>("batch", "name of the batch", u -> u.runs().get(0).batch()),
          new Column<>("unit", "serial number", UnitHistory::serial),
          new Column<>("product", "what it is an example of", u -> u.runs().get(0).product()),
          new Column<>("revision", "of the product", u -> u.runs().get(0).revision()),
          new Column<>(
              "runs", "how many runs, errors of the station included", u -> u.runs().size()),
          new Column<>("attempts", "runs but for errors of the station", u -> u.attempts().size()),
          new Column<>(
              "first_verdict",
              "of the first attempt: pass, fail or aborted",
              u -> u.first().map(RunRecord::verdict).orElse(null)),
          new Column<>(
              "first_started",
              "when the first attempt began",
              u -> u.first().map(RunRecord::started).orElse(null)),
          new Column<>(
              "first_failed",
              "results that failed in it, by name, separated by semicolons",
              u -> u.first().map(CsvExport::failed).orElse(null)),
          new Column<>(
              "last_verdict",
              "of the last attempt",
              u -> u.last().map(RunRecord::verdict).orElse(null)),
          new Column<>(
              "last_started",
              "when the last attempt began",
              u -> u.last().map(RunRecord::started).orElse(null)),
          new Column<>(
              "last_failed",
              "results that failed in it",
              u -> u.last().map(CsvExport::failed).orElse(null)),
          new Column<>("last_run", "its run", u -> u.last().map(RunRecord::run).orElse(null)));

  static final List<Column<Row>> RESULTS =
      List.of(
          new Column<>("batch", "name of the batch", r -> r.run.batch()),
          new Column<>("unit", "serial number", r -> r.unit.serial()),
          new Column<>("run", "name of the run", r -> r.run.run()),
          new Column<>("shop", "where", r -> r.run.shop()),
          new Column<>("station", "on which bench", r -> r.run.station()),
          new Column<>("started", "when the run began", r -> r.run.started()),
          new Column<>(
              "attempt",
              "which attempt of the unit in this batch, from 1; empty where the station failed",
              r -> r.attempt == 0 ? null : r.attempt),
          new Column<>("verdict", "of the run", r -> r.run.verdict()),
          new Column<>("step", "step of the plan", r -> r.step.step()),
          new Column<>("result", "name of the result", r -> r.result.measurement().name()),
          new Column<>(
              "conditions",
              "what it holds under: name=value, separated by semicolons",
              r -> conditions(r.result.measurement().conditions())),
          new Column<>(
              "kind", "quantity, curve or invalid", r -> kind(r.result.measurement().figure())),
          new Column<>(
              "value",
              "the quantity; empty for a curve, whose points are in the record only",
              r -> r.quantity() == null ? null : r.quantity().value()),
          new Column<>(
              "value_unit",
              "unit of value, low and high; empty for a plain number",
              r -> r.quantity() == null ? null : r.quantity().unit().symbol()),
          new Column<>(
              "u_below",
              "standard uncertainty below the value, in its unit; empty if not known",
              r -> uncertainty(r, false)),
          new Column<>(
              "u_above", "standard uncertainty above the value", r -> uncertainty(r, true)),
          new Column<>(
              "u_dof",
              "effective degrees of freedom of both; Infinity if nothing limits them",
              r -> degrees(r)),
          new Column<>(
              "low", "lowest good value", r -> r.limit() == null ? null : value(r.limit().low())),
          new Column<>(
              "high",
              "highest good value",
              r -> r.limit() == null ? null : value(r.limit().high())),
          new Column<>(
              "outcome",
              "pass, fail, in the guard band or not judged",
              r -> r.result.judgement().outcome()),
          new Column<>(
              "guard_low",
              "width of the guard band above low; empty with simple acceptance",
              r -> guard(r, Judgement.Guard::low)),
          new Column<>(
              "guard_high",
              "width of the guard band below high",
              r -> guard(r, Judgement.Guard::high)),
          new Column<>(
              "conformance",
              "probability that the truth is within the limits, of guarded acceptance",
              r -> guard(r, Judgement.Guard::conformance)),
          new Column<>("detail", "why, in words", r -> r.result.judgement().detail()),
          new Column<>(
              "note",
              "what is to be known of the figure, such as that the bench was uncalibrated",
              r -> r.result.measurement().note()));

  private CsvExport() {}

  private static @Nullable Double uncertainty(Row row, boolean above) {
    Uncertainty of = row.result.measurement().uncertainty();
    return of == null || row.quantity() == null ? null : above ? of.above(0) : of.below(0);
  }

  private static @Nullable Double degrees(Row row) {
    Uncertainty of = row.result.measurement().uncertainty();
    return of == null || row.quantity() == null ? null : of.degreesOfFreedom(0);
  }

  private static @Nullable Double guard(Row row, Function<Judgement.Guard, Double> part) {
    Judgement.Guard guard = row.result.judgement().guard();
    return guard == null ? null : part.apply(guard);
  }

  /**
   * Writes the three files, over older ones of these names.
   *
   * @param folder made if it is not there
   * @return the files
   * @throws IOException if one cannot be written
   */
  public static List<Path> write(Batch batch, Path folder) throws IOException {
    Files.createDirectories(folder);
    List<List<String>> meanings = new ArrayList<>();
    UNITS.forEach(c -> meanings.add(List.of("units.csv", c.name, c.meaning)));
    RESULTS.forEach(c -> meanings.add(List.of("results.csv", c.name, c.meaning)));
    return List.of(
        table(folder.resolve("units.csv"), UNITS, batch.units()),
        table(folder.resolve("results.csv"), RESULTS, rows(batch)),
        table(
            folder.resolve("columns.csv"),
            List.of(
                new Column<>("file", "", row -> row.get(0)),
                new Column<>("column", "", row -> row.get(1)),
                new Column<>("meaning", "", row -> row.get(2))),
            meanings));
  }

  private static <T> Path table(Path file, List<Column<T>> columns, List<T> rows)
      throws IOException {
    Durable.replace(
        file,
        out -> {
          CSVPrinter csv =
              new CSVPrinter(new OutputStreamWriter(out, StandardCharsets.UTF_8), FORMAT);
          csv.printRecord(columns.stream().map(Column::name).toList());
          for (T row : rows) {
            List<@Nullable Object> values = new ArrayList<>();
            columns.forEach(column -> values.add(column.of.apply(row)));
            csv.printRecord(values);
          }
          csv.flush();
        },
        true);
    return file;
  }

  static List<Row> rows(Batch batch) {
    List<Row> rows = new ArrayList<>();
    for (UnitHistory unit : batch.units()) {
      for (RunRecord run : unit.runs()) {
        int attempt = unit.attempts().indexOf(run) + 1;
        for (RunRecord.Step step : run.steps()) {
          step.results().forEach(result -> rows.add(new Row(unit, run, attempt, step, result)));
        }
      }
    }
    return rows;
  }

  private static String failed(RunRecord run) {
    return String.join(";", Batch.failures(run));
  }

  private static String conditions(Conditions conditions) {
    return conditions.values().entrySet().stream()
        .map(e -> e.getKey() + "=" + e.getValue())
        .collect(Collectors.joining(";"));
  }

  private static String kind(Figure figure) {
    return figure instanceof Figure.OfQuantity
        ? "quantity"
        : figure instanceof Figure.OfCurve ? "curve" : "invalid";
  }

  private static @Nullable Double value(@Nullable Quantity quantity) {
    return quantity == null ? null : quantity.value();
  }
}
