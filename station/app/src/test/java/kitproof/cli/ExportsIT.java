package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.batch.Linnets;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.value.Figure;
import kitproof.value.Uncertainty;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A batch's tables, read by Python's own csv and json and by pandas (Debian package
 * python3-pandas), against the records they were made from.
 */
class ExportsIT {
  private static final String BATCH = "pilot, \"first\" of \u00b5";

  @TempDir Path folder;

  /** What Python has read, a row each. */
  private JsonNode readByPython(Path tables) throws IOException, InterruptedException {
    Path script = folder.resolve("read_exports.py");
    try (InputStream in =
        Objects.requireNonNull(ExportsIT.class.getResourceAsStream("read_exports.py"))) {
      Files.copy(in, script);
    }
    Path out = folder.resolve("read.json");
    Path err = folder.resolve("read.err");
    Process python =
        new ProcessBuilder("/usr/bin/python3", script.toString(), tables.toString())
            .redirectOutput(out.toFile())
            .redirectError(err.toFile())
            .start();
    assertThat(python.waitFor()).as(Files.readString(err)).isZero();
    return new ObjectMapper().readTree(Files.readString(out, StandardCharsets.UTF_8));
  }

  @Test
  void pythonReadsWhatTheRecordsSay() throws Exception {
    Path records = folder.resolve("records");
    Linnets linnets = new Linnets(records).known(Uncertainty.of(0.1, 1.0 / 7, 12.5, List.of()));
    List<Path> documents = new ArrayList<>();
    documents.add(linnets.run(BATCH, 1, 26.123456789012345, -0.5));
    documents.add(linnets.run(BATCH, 2, 1.0 / 3, -0.5));
    linnets.known(null);
    documents.add(linnets.run(BATCH, 3, 26, -0.5, Verdict.ERROR));
    documents.add(linnets.run(BATCH, 3, 26.000000000000004, -1.5));
    linnets.run("another", 4, 26, -0.5);
    Path tables = folder.resolve("tables");
    Cli cli = Cli.run("batch", BATCH, "--records", records, "--csv", tables, "--json-rows", tables);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out().lines()).hasSize(6);

    List<List<Object>> expected = new ArrayList<>();
    for (Path document : documents) {
      RunRecord run = RecordDocument.read(document);
      for (RunRecord.Step step : run.steps()) {
        for (RunRecord.Result result : step.results()) {
          Figure figure = result.measurement().figure();
          expected.add(
              List.of(
                  BATCH,
                  run.unit(),
                  run.run(),
                  run.started().toString(),
                  String.valueOf(run.verdict()),
                  result.measurement().name(),
                  figure instanceof Figure.OfQuantity one
                      ? String.valueOf(one.quantity().value())
                      : "",
                  result.judgement().outcome().toString()));
        }
      }
    }
    List<List<Object>> read = new ArrayList<>();
    for (JsonNode row : readByPython(tables)) {
      read.add(
          List.of(
              row.get("batch").asText(),
              row.get("unit").asText(),
              row.get("run").asText(),
              row.get("started").asText(),
              row.get("verdict").asText(),
              row.get("result").asText(),
              row.get("value").asText(),
              row.get("outcome").asText()));
    }
    assertThat(read).hasSize(9).containsExactlyInAnyOrderElementsOf(expected);
  }

  /** The page explains every column of both tables, and no others. */
  @Test
  void thePageExplainsTheColumns() throws IOException {
    Path records = folder.resolve("records");
    new Linnets(records).run("pilot", 1, 26, -0.5);
    Path tables = folder.resolve("tables");
    assertThat(Cli.run("batch", "pilot", "--records", records, "--json-rows", tables).code())
        .isZero();
    String page = Files.readString(Cli.HOME.resolve("station/docs/exports.md"));
    for (Map.Entry<String, String> table :
        Map.of("units", "## One row per unit", "results", "## One row per result").entrySet()) {
      int from = page.indexOf(table.getValue());
      int to = page.indexOf("\n## ", from + 1);
      Matcher rows =
          Pattern.compile("(?m)^\\| `([a-z_]+)` \\| (.+?) \\|$")
              .matcher(page.substring(from, to < 0 ? page.length() : to));
      List<String> explained = new ArrayList<>();
      while (rows.find()) {
        explained.add(rows.group(1) + ": " + rows.group(2));
      }
      List<String> written = new ArrayList<>();
      for (JsonNode column :
          new ObjectMapper().readTree(Files.readString(tables.resolve("columns.json")))) {
        if (column.get("file").asText().equals(table.getKey() + ".json")) {
          written.add(column.get("column").asText() + ": " + column.get("meaning").asText());
        }
      }
      assertThat(explained).as(table.getKey()).isEqualTo(written);
    }
  }
}
