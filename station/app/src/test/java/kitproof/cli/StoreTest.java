package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import kitproof.event.Verdict;
import kitproof.journal.KeptRuns;
import kitproof.journal.RecordStore;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class StoreTest {
  @TempDir Path folder;

  @BeforeEach
  void keepThree() throws IOException {
    RecordStore store = new RecordStore(folder);
    keep(store, "r1", "LN12-001", 1, Verdict.FAIL);
    keep(store, "r2", "LN12-002", 2, Verdict.PASS);
    keep(store, "r3", "LN12-001", 3, Verdict.PASS);
  }

  private static void keep(RecordStore store, String run, String unit, int day, Verdict verdict)
      throws IOException {
    Instant time = Instant.parse("2026-11-0" + day + "T10:00:00Z");
    KeptRuns.keep(store, run, "bench-1", unit, time, verdict);
  }

  @Test
  void whatToDoIsToldWhereNothingIsSaid() {
    Cli cli = Cli.run("store");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("found no word after store; expected verify, rebuild or units");
  }

  @Test
  void recordsAsTheyWereWrittenAreTold() {
    Cli cli = Cli.run("store", "verify", "--records", folder);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.lastLine()).isEqualTo("3 records: all as they were written");
  }

  @Test
  void anAlteredRecordIsNamed() throws IOException {
    Path document = folder.resolve("r2.json");
    Files.writeString(document, Files.readString(document).replace("\"pass\"", "\"fail\""));
    Cli cli = Cli.run("store", "verify", "--records", folder);
    assertThat(cli.code()).isEqualTo(4);
    assertThat(cli.err()).contains("record r2: it was altered after it was written");
    assertThat(cli.lastLine()).isEqualTo("3 records: 1 not as they were written");
    Cli json = Cli.run("store", "verify", "--records", folder, "--json");
    assertThat(json.code()).isEqualTo(4);
    assertThat(json.json().at("/findings/0/record").asText()).isEqualTo("r2");
  }

  @Test
  void unitsAreListedWithTheirAttempts() {
    Cli cli = Cli.run("store", "units", "--records", folder);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out())
        .contains("LN12-001   2 attempts  first fail     last pass")
        .contains("2 units: 1 passed at the first attempt, 2 at the last");
    Cli json = Cli.run("store", "units", "--records", folder, "--json");
    assertThat(json.json().at("/units/1/attempts").asInt()).isEqualTo(2);
  }

  @Test
  void theIndexIsRebuilt() {
    Cli cli = Cli.run("store", "rebuild", "--records", folder);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.lastLine())
        .isEqualTo("3 records in the index " + folder.resolve("index.sqlite"));
  }

  @Test
  void aBrokenIndexIsToldWithTheWayOut() throws IOException {
    Files.writeString(folder.resolve("index.sqlite"), "x".repeat(4096));
    Cli cli = Cli.run("store", "units", "--records", folder);
    assertThat(cli.code()).isEqualTo(4);
    assertThat(cli.err()).contains("index.sqlite cannot be used", "kitproof store rebuild");
    assertThat(Cli.run("store", "rebuild", "--records", folder).code()).isZero();
    assertThat(Cli.run("store", "units", "--records", folder).code()).isZero();
  }

  @Test
  void aFolderThatIsNotThereIsTold() {
    for (String command : new String[] {"verify", "rebuild", "units"}) {
      Cli cli = Cli.run("store", command, "--records", folder.resolve("none"));
      assertThat(cli.code()).as(command).isEqualTo(2);
      assertThat(cli.err()).contains("expected a folder of records");
    }
    assertThat(Cli.run("store").code()).isEqualTo(2);
  }
}
