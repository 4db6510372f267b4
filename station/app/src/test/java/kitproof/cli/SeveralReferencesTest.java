package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import kitproof.batch.Linnets;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Differences from several reference units are not taken for values of one kind. */
class SeveralReferencesTest {
  private static final String PLAIN = "mode triode, tap 8 ohm, against unit reference";

  @TempDir Path folder;
  private Path records;

  /** Four units compared with LN12-090, three with LN12-091; another batch with LN12-090 alone. */
  @BeforeEach
  void keepBatches() throws IOException {
    records = folder.resolve("records");
    Linnets linnets = new Linnets(records).comparedWith("LN12-090");
    for (int i = 1; i <= 4; i++) {
      linnets.run("mixed", i, 26 + 0.01 * i, -0.5);
    }
    for (int i = 11; i <= 14; i++) {
      linnets.run("plain", i, 26 + 0.01 * i, -0.5);
    }
    linnets.comparedWith("LN12-091");
    for (int i = 5; i <= 7; i++) {
      linnets.run("mixed", i, 26.3 - 0.02 * i, -0.5);
    }
  }

  private Cli batch(Object... arguments) {
    List<Object> all = new ArrayList<>(List.of("batch"));
    all.addAll(List.of(arguments));
    all.addAll(List.of("--records", records));
    return Cli.run(all.toArray());
  }

  /** Conditions of the differences of gain to the number of units, in words. */
  private Map<String, Integer> differences(String name) {
    Map<String, Integer> units = new TreeMap<>();
    for (JsonNode result : batch(name, "--json").json().get("results")) {
      if (result.get("result").asText().equals("gain difference")) {
        JsonNode when = result.get("conditions");
        assertThat(when.get("tap").asText()).isEqualTo("8 ohm");
        units.put(when.get("against unit").asText(), result.get("units").asInt());
      }
    }
    return units;
  }

  @Test
  void ofEachReferenceThereIsASeriesByTheDocumentsAndByTheirIndex() {
    Map<String, Integer> apart = Map.of("reference LN12-090", 4, "reference LN12-091", 3);
    assertThat(differences("mixed")).isEqualTo(apart);
    assertThat(differences("plain")).isEqualTo(Map.of("reference", 4));
    assertThat(Cli.run("store", "rebuild", "--records", records).code()).isZero();
    assertThat(differences("mixed")).isEqualTo(apart);
    assertThat(differences("plain")).isEqualTo(Map.of("reference", 4));
    Path chart = folder.resolve("chart.svg");
    Cli which = batch("mixed", "--chart", "gain difference", "--out", chart);
    assertThat(which.code()).isEqualTo(2);
    assertThat(which.err()).contains("reference LN12-090", "reference LN12-091");
    Cli drawn =
        batch(
            "mixed",
            "--chart",
            "gain difference",
            "--when",
            "against unit=reference LN12-091",
            "--out",
            chart);
    assertThat(drawn.code()).as(drawn.err()).isZero();
  }

  @Test
  void pairsAreNotMadeByThem() throws IOException {
    for (String result : List.of("gain difference", "response difference")) {
      Path rules =
          Files.writeString(
              folder.resolve("pairs.yaml"),
              "pairs: stereo\ncompare:\n  - {result: " + result + ", difference: 0.1 dB}\n");
      Cli mixed = batch("mixed", "--pairs", rules);
      assertThat(mixed.code()).isEqualTo(2);
      assertThat(mixed.err())
          .contains(
              "pairs.yaml:3:",
              "\"" + result + " (" + PLAIN + ")\"",
              "compared with several others: LN12-090, LN12-091");
      Cli plain = batch("plain", "--pairs", rules);
      assertThat(plain.code()).as(plain.err()).isZero();
    }
  }

  @Test
  void limitsAreNotProposedFromThem() throws IOException {
    Path mixed = folder.resolve("mixed.yaml");
    Path plain = folder.resolve("plain.yaml");
    assertThat(batch("mixed", "--propose-limits", mixed, "--coverage", "0.7").code()).isZero();
    assertThat(batch("plain", "--propose-limits", plain, "--coverage", "0.7").code()).isZero();
    String told = ": the units were compared with several others, no proposal";
    assertThat(Files.readString(mixed))
        .contains(
            "# gain difference (" + PLAIN + " LN12-090)" + told,
            "# gain difference (" + PLAIN + " LN12-091)" + told,
            "# response difference (" + PLAIN + ")" + told)
        .doesNotContain("result: gain difference", "result: response difference");
    assertThat(Files.readString(plain))
        .contains("result: gain difference", "against unit: reference", "response difference")
        .doesNotContain("compared with several");
  }
}
