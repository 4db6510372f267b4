package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.Reader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.batch.Linnets;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Figure;
import kitproof.value.Uncertainty;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.apache.commons.math3.distribution.TDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What tables for other programs say of uncertainties and guard bands, of a calibrated run. */
class GuardedExportTest {
  private static final List<String> GUARDED =
      List.of("u_below", "u_above", "u_dof", "guard_low", "guard_high", "conformance");

  @TempDir private Path folder;

  private List<CSVRecord> csv(String name) throws IOException {
    try (Reader reader =
        Files.newBufferedReader(folder.resolve("tables/" + name), StandardCharsets.UTF_8)) {
      return CSVFormat.RFC4180.builder().setHeader().get().parse(reader).getRecords();
    }
  }

  private JsonNode json(String name) throws IOException {
    return new ObjectMapper().readTree(folder.resolve("tables/" + name).toFile());
  }

  private void export(Path records) {
    Path tables = folder.resolve("tables");
    Cli cli =
        Cli.run("batch", "pilot", "--records", records, "--csv", tables, "--json-rows", tables);
    assertThat(cli.code()).as(cli.err()).isZero();
  }

  @Test
  void theColumnsOfAGuardedRunSayWhatItsRecordSays() throws IOException {
    Path records = folder.resolve("records");
    RunRecord run = RecordDocument.read(GuardedRun.of(folder, records, "--batch", "pilot"));
    export(records);
    List<RunRecord.Result> results =
        run.steps().stream().flatMap(step -> step.results().stream()).toList();
    List<CSVRecord> rows = csv("results.csv");
    JsonNode objects = json("results.json");
    assertThat(rows).hasSameSizeAs(results);
    assertThat(objects).hasSameSizeAs(results);
    List<String> withAll = new ArrayList<>();
    for (int i = 0; i < results.size(); i++) {
      List<Double> expected = expected(results.get(i));
      String what = results.get(i).measurement().title();
      for (int c = 0; c < GUARDED.size(); c++) {
        String text = rows.get(i).get(GUARDED.get(c));
        JsonNode node = objects.get(i).get(GUARDED.get(c));
        Double value = expected.get(c);
        String told = what + ", " + GUARDED.get(c);
        if (Double.isNaN(value)) {
          assertThat(text).as(told).isEmpty();
          assertThat(node.isNull()).as(told).isTrue();
        } else {
          assertThat(Double.parseDouble(text)).as(told).isEqualTo(value);
          assertThat(node.isNumber() ? node.doubleValue() : Double.parseDouble(node.textValue()))
              .as(told)
              .isEqualTo(value);
        }
      }
      if (expected.stream().noneMatch(value -> Double.isNaN(value))) {
        withAll.add(results.get(i).measurement().name());
      }
    }
    assertThat(withAll).contains("gain", "supply rise settled");

    // the guard band from the columns alone: the one-sided factor of Student's t (JCGM 106:2012,
    // 8.3.3), by another library than the program's
    CSVRecord gain = rows.stream().filter(r -> r.get("result").equals("gain")).findFirst().get();
    double dof = Double.parseDouble(gain.get("u_dof"));
    double factor =
        new TDistribution(Double.isInfinite(dof) ? 1e9 : dof).inverseCumulativeProbability(0.95);
    assertThat(Double.parseDouble(gain.get("guard_low")))
        .isPositive()
        .isCloseTo(factor * Double.parseDouble(gain.get("u_below")), within(1e-6));
    assertThat(Double.parseDouble(gain.get("guard_high")))
        .isCloseTo(factor * Double.parseDouble(gain.get("u_above")), within(1e-6));
    assertThat(Double.parseDouble(gain.get("conformance"))).isBetween(0.95, 1.0);
  }

  /** In the order of the columns; not a number where there is nothing to say. */
  private static List<Double> expected(RunRecord.Result result) {
    List<Double> values = new ArrayList<>();
    boolean single = result.measurement().figure() instanceof Figure.OfQuantity;
    Uncertainty u = result.measurement().uncertainty();
    values.add(single && u != null ? u.below(0) : Double.NaN);
    values.add(single && u != null ? u.above(0) : Double.NaN);
    values.add(single && u != null ? u.degreesOfFreedom(0) : Double.NaN);
    Judgement.Guard guard = result.judgement().guard();
    values.add(guard == null ? Double.NaN : guard.low());
    values.add(guard == null ? Double.NaN : guard.high());
    values.add(guard == null ? Double.NaN : guard.conformance());
    return values;
  }

  /** Unlike each other, so that no column can stand in another one's place. */
  @Test
  void belowAndAboveAreNotExchanged() throws IOException {
    Path records = folder.resolve("records");
    new Linnets(records).known(Uncertainty.of(0.125, 0.25, 7, List.of())).run("pilot", 1, 26, -0.5);
    export(records);
    CSVRecord gain = csv("results.csv").get(0);
    assertThat(gain.toMap())
        .containsEntry("result", "gain")
        .containsEntry("u_below", "0.125")
        .containsEntry("u_above", "0.25")
        .containsEntry("u_dof", "7.0")
        .containsEntry("guard_low", "")
        .containsEntry("conformance", "");
    JsonNode object = json("results.json").get(0);
    assertThat(object.get("u_below").doubleValue()).isEqualTo(0.125);
    assertThat(object.get("u_above").doubleValue()).isEqualTo(0.25);
    assertThat(object.get("u_dof").doubleValue()).isEqualTo(7);
    assertThat(object.get("guard_high").isNull()).isTrue();
    assertThat(csv("results.csv").get(2).get("u_below")).as("cathode voltage").isEmpty();
  }

  /** Both kinds of table have the columns that the tables of columns explain, in their order. */
  @Test
  void whatIsExplainedIsWhatIsWritten() throws IOException {
    Path records = folder.resolve("records");
    new Linnets(records).run("pilot", 1, 26, -0.5);
    export(records);
    for (String table : List.of("units", "results")) {
      List<String> header = csv(table + ".csv").get(0).getParser().getHeaderNames();
      List<String> names = new ArrayList<>();
      json(table + ".json").get(0).fieldNames().forEachRemaining(names::add);
      assertThat(names).isEqualTo(header);
      assertThat(
              csv("columns.csv").stream()
                  .filter(row -> row.get("file").equals(table + ".csv"))
                  .map(row -> row.get("column")))
          .isEqualTo(header);
      List<String> explained = new ArrayList<>();
      for (JsonNode row : json("columns.json")) {
        if (row.get("file").asText().equals(table + ".json")) {
          explained.add(row.get("column").asText());
          assertThat(row.get("meaning").asText()).isNotBlank();
        }
      }
      assertThat(explained).isEqualTo(header);
      String page = Files.readString(Cli.HOME.resolve("station/docs/exports.md"));
      assertThat(header).allMatch(name -> page.contains("| `" + name + "` |"));
    }
  }
}
