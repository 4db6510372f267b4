package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.util.ArrayList;
import java.util.List;
import kitproof.batch.Linnets;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A batch told by the index beside its records, and its units in groups. */
class IndexedBatchTest {
  @TempDir Path folder;
  private Path records;

  @BeforeEach
  void keepABatch() throws IOException {
    records = folder.resolve("records");
    Linnets linnets = new Linnets(records);
    linnets.pilot();
    linnets.run("second", 20, 26, -0.5);
  }

  private Cli batch(Object... arguments) {
    Object[] all = new Object[arguments.length + 3];
    all[0] = "batch";
    System.arraycopy(arguments, 0, all, 1, arguments.length);
    all[all.length - 2] = "--records";
    all[all.length - 1] = records;
    return Cli.run(all);
  }

  private Path pairs(String rows) throws IOException {
    return Files.writeString(folder.resolve("pairs.yaml"), "pairs: stereo\ncompare:\n" + rows);
  }

  private List<String> everythingOfPilot(String tables) throws IOException {
    List<String> all = new ArrayList<>();
    all.add(batch("pilot").out());
    all.add(batch("pilot", "--json", "--subgroups", "3").out());
    Path chart = folder.resolve("chart.svg");
    assertThat(batch("pilot", "--chart", "gain", "--out", chart).code()).isZero();
    all.add(Files.readString(chart));
    assertThat(batch("pilot", "--csv", folder.resolve(tables)).code()).isZero();
    all.add(Files.readString(folder.resolve(tables).resolve("results.csv")));
    Path limits = folder.resolve(tables + ".yaml");
    assertThat(batch("pilot", "--propose-limits", limits).code()).isZero();
    all.add(Files.readString(limits));
    all.add(
        batch("pilot", "--pairs", pairs("  - {result: frequency response, difference: 1 dB}\n"))
            .out());
    return all;
  }

  @Test
  void withAnIndexBesideTheRecordsTheSameIsToldFromIt() throws Exception {
    List<String> fromDocuments = everythingOfPilot("documents");
    assertThat(Cli.run("store", "rebuild", "--records", records).code()).isZero();
    assertThat(everythingOfPilot("indexed")).isEqualTo(fromDocuments);
    try (Connection index =
        DriverManager.getConnection("jdbc:sqlite:" + records.resolve("index.sqlite"))) {
      assertThat(
              index
                  .createStatement()
                  .executeUpdate("UPDATE result SET value = 26.69 WHERE value = 26.7"))
          .isEqualTo(1);
    }
    Cli altered = batch("pilot");
    assertThat(altered.out()).contains("LN12-005 is unlike its sisters, 26.69 dB");
    assertThat(altered.err()).isEmpty();

    new Linnets(records).run("pilot", 13, 26, -0.5); // the index is brought up to it first
    assertThat(batch("pilot").out()).contains("batch pilot: 13 units, 15 runs");
    Files.writeString(records.resolve("index.sqlite"), "no database at all, ".repeat(1000));
    Cli damaged = batch("pilot");
    assertThat(damaged.code()).isZero();
    assertThat(damaged.out()).contains("13 units", "LN12-005 is unlike its sisters, 26.7 dB");
    assertThat(damaged.err())
        .contains("note: the documents are read one by one, as the index ", "it is damaged");
  }

  @Test
  void meansAndRangesOfUnitsInARow() throws IOException {
    JsonNode json = batch("pilot", "--subgroups", "3", "--json").json();
    JsonNode groups = json.get("results").get(0).get("subgroups");
    assertThat(groups.get("means")).hasSize(4);
    double first = (Linnets.PILOT.get(0) + Linnets.PILOT.get(1) + Linnets.PILOT.get(2)) / 3;
    assertThat(groups.at("/means/0").doubleValue()).isCloseTo(first, within(1e-12));
    // A2 of three is 1.023 (NIST/SEMATECH e-Handbook 6.3.2.1)
    double mean = groups.at("/meanLimits/centre").doubleValue();
    double range = groups.at("/rangeLimits/centre").doubleValue();
    assertThat(groups.at("/meanLimits/upper").doubleValue())
        .isCloseTo(mean + 1.023 * range, within(1e-3 * range));
    Path file = folder.resolve("groups.svg");
    Cli chart = batch("pilot", "--chart", "gain", "--subgroups", "3", "--out", file);
    assertThat(chart.code()).as(chart.err()).isZero();
    assertThat(Files.readString(file))
        .contains("Mean of gain", "Range of gain", "groups of 3 units in a row");
    Cli few = batch("pilot", "--chart", "gain", "--subgroups", "7", "--out", file);
    assertThat(few.code()).isEqualTo(2);
    assertThat(few.err()).contains("--subgroups: found 12 units in groups of 7");
  }
}
