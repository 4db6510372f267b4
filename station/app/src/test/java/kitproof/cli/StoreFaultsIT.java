package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.time.Instant;
import java.util.Map;
import java.util.stream.Stream;
import kitproof.journal.Ledger;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.peer.PostgreSql;
import kitproof.peers.FaultTable;
import kitproof.peers.Tmpfs;
import kitproof.store.Index;
import kitproof.store.IndexKeeper;
import kitproof.store.IndexPlace;
import kitproof.store.Verification;
import org.flywaydb.core.Flyway;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What can befall records, their index and what lies beside them: nothing is lost, each is said.
 */
class StoreFaultsIT {
  private static final Path BENCH = Cli.example("bench-simulated.yaml");
  private static final FaultTable TABLE = new FaultTable(FaultTable.Section.STORE);

  @TempDir Path folder;

  @AfterAll
  static void writeOrCompare() throws IOException {
    TABLE.close();
  }

  @Test
  void diskFullWhileTheIndexIsWritten() throws Exception {
    Path records = folder.resolve("records");
    try (Tmpfs disk = Tmpfs.on(records, 2)) {
      for (int i = 1; i <= 3; i++) {
        FaultyFolder.keep(records, i);
      }
      Map<String, String> before = FaultyFolder.documents(records);
      Path filler = disk.fill();
      FaultyFolder.Heard heard = new FaultyFolder.Heard();
      try (IndexKeeper keeper = IndexKeeper.start(records, IndexPlace.beside(records), heard)) {
        heard.await(1);
        assertThat(heard.all.get(0)).contains("the disk is full");
        Files.delete(filler);
        keeper.tell();
        heard.await(2);
      }
      assertThat(heard.all.get(1)).isEqualTo("up to date");
      assertThat(FaultyFolder.documents(records)).isEqualTo(before);
      try (Index index = Index.open(records)) {
        assertThat(index.records()).isEqualTo(3);
      }
      TABLE.put(
          60,
          "disk full while the index is written (a real small disk)",
          "the records stand; told once, caught up when there is room",
          "told: “" + FaultTable.plain(heard.all.get(0)) + "”, then: up to date; 3 of 3 records");
    }
  }

  @Test
  void lockedByAnotherProgram() throws Exception {
    Path records = FaultyFolder.three(folder.resolve("records"));
    FaultyFolder.rebuilt(records);
    Map<String, String> before = FaultyFolder.documents(records);
    try (Connection other = DriverManager.getConnection("jdbc:sqlite:" + Index.file(records))) {
      other.createStatement().execute("BEGIN IMMEDIATE");
      Cli units = Cli.run("store", "rebuild", "--records", records);
      assertThat(units.code()).isEqualTo(4);
      assertThat(units.err()).contains("another program is writing to it");
      other.createStatement().execute("ROLLBACK");
      assertThat(FaultyFolder.documents(records)).isEqualTo(before);
      TABLE.put(
          61,
          "index locked by another program",
          "refused after two seconds, nothing changed; works once the other is done",
          "exit code 4; “"
              + FaultTable.plain(units.err())
              + "”; then: "
              + FaultTable.plain(FaultyFolder.rebuilt(records)));
    }
  }

  @Test
  void serverGoneInTheMiddleOfARun() throws Exception {
    Path plan = RunTest.firstPower(folder);
    Path records = folder.resolve("records");
    try (PostgreSql server = PostgreSql.open().start()) {
      server.createDatabase("runs");
      String address = server.address("runs");
      assertThat(KilledServer.duringARun(server, address, plan, records))
          .containsOnlyOnce("the index of records is not up to date: the index " + address)
          .contains("PostgreSQL cannot be reached");
      Cli second = run(plan, records, "LN12-002", address);
      assertThat(second.code()).as(second.out() + second.err()).isZero();
      assertThat(second.out())
          .containsOnlyOnce("the index of records is not up to date: the index " + address)
          .contains("PostgreSQL cannot be reached");
      server.start();
      assertThat(run(plan, records, "LN12-003", address).code()).isZero();
      // asked of the server itself, as "store units" would catch up first
      assertThat(KilledServer.ask(address, "SELECT unit FROM kitproof.record ORDER BY unit"))
          .containsExactly("LN12-001", "LN12-002", "LN12-003");
      TABLE.put(
          62,
          "PostgreSQL gone in the middle of a run, and back after the next one",
          "both runs end as usual and say once that the index is behind; the third takes all in",
          "pass, exit code 0; told: “PostgreSQL cannot be reached”; then 3 of 3 units");
    }
  }

  private static Cli run(Path plan, Path records, String unit, String address) {
    return Cli.run(
        "run", plan, "--bench", BENCH, "--records", records, "--unit", unit, "--index", address);
  }

  @Test
  void documentCutShort() throws Exception {
    Path records = FaultyFolder.three(folder.resolve("records"));
    Path cut = records.resolve("r2.json");
    String text = Files.readString(cut);
    Files.writeString(cut, text.substring(0, text.length() / 2));
    Cli rebuild = Cli.run("store", "rebuild", "--records", records);
    assertThat(rebuild.code()).isEqualTo(4);
    assertThat(rebuild.err()).contains("record r2.json: it cannot be read");
    Cli verify = Cli.run("store", "verify", "--records", records);
    assertThat(verify.code()).isEqualTo(4);
    assertThat(verify.err()).contains("record r2: it was altered after it was written");
    // its journal has it all: without the document the next start writes it as it was
    Files.delete(cut);
    Recovery.run(new RecordStore(records), Instant::now);
    assertThat(Files.readString(cut)).isEqualTo(text);
    assertThat(Verification.of(records, looked -> {}).findings()).isEmpty();
    TABLE.put(
        63,
        "a document cut short",
        "named by rebuild and verify, the others are indexed; its journal makes it again, with the"
            + " same digest",
        "exit code 4; “"
            + FaultTable.plain(verify.err())
            + "”; made again from its journal: all as they were written");
  }

  @Test
  void indexOfAnotherForm() throws Exception {
    Path records = FaultyFolder.three(folder.resolve("records"));
    Flyway.configure(Index.class.getClassLoader())
        .dataSource("jdbc:sqlite:" + Index.file(records), "", "")
        .locations("classpath:kitproof/store")
        .target("1")
        .load()
        .migrate();
    Cli older = Cli.run("store", "units", "--records", records, "--json");
    assertThat(older.code()).as(older.err()).isZero();
    assertThat(older.json().get("units")).hasSize(3);
    TABLE.put(
        64,
        "index in the form of an older program",
        "brought to this program's form and filled from the documents",
        "exit code 0; 3 of 3 units");
    try (Connection other = DriverManager.getConnection("jdbc:sqlite:" + Index.file(records))) {
      other
          .createStatement()
          .execute(
              "INSERT INTO flyway_schema_history SELECT 99, '99', 'later', type, script, checksum,"
                  + " installed_by, installed_on, execution_time, success FROM"
                  + " flyway_schema_history WHERE version = '2'");
    }
    Cli newer = Cli.run("store", "units", "--records", records);
    assertThat(newer.code()).isEqualTo(4);
    assertThat(newer.err()).contains("a newer program has brought it to form 99");
    TABLE.put(
        65,
        "index in the form of a newer program",
        "refused and left alone",
        "exit code 4; “" + FaultTable.plain(newer.err()) + "”");
  }

  @Test
  void twoProgramsWriteOneFolderAndTheIndexBesideIt() throws Exception {
    Path records = Files.createDirectories(folder.resolve("records"));
    String index = "jdbc:sqlite:" + Index.file(records);
    Verification found = twoPrograms(records, "", index, "record", "result");
    TABLE.put(
        66,
        "two programs that write one folder and the index beside it (SQLite) at the same time",
        "they take turns: one chain, every record in it, every record in the index",
        seenOfTwo(found) + FaultTable.plain(FaultyFolder.rebuilt(records)));
  }

  @Test
  void twoProgramsWriteOneFolderAndItsIndexInPostgres() throws Exception {
    Path records = Files.createDirectories(folder.resolve("records"));
    try (PostgreSql server = PostgreSql.open().start()) {
      server.createDatabase("writers");
      String address = server.address("writers");
      String index = "jdbc:" + address + "?user=" + System.getProperty("user.name");
      Verification found =
          twoPrograms(records, address, index, "kitproof.record", "kitproof.result");
      TABLE.put(
          69,
          "two programs that write one folder and its index in a PostgreSQL at the same time",
          "they take turns: one chain, every record in it, every record in the index",
          seenOfTwo(found) + "all of them in the index");
    }
  }

  private static String seenOfTwo(Verification found) {
    return found.chained() + " of " + 2 * Writers.EACH + " records in the chain; ";
  }

  /** Nothing lost, in documents, chain and index; each program says of each record that it is. */
  private Verification twoPrograms(
      Path records, String address, String jdbc, String record, String result) throws Exception {
    int all = 2 * Writers.EACH;
    for (String said : Writers.run(folder, records, address, 2)) {
      assertThat(said.lines().filter(line -> line.startsWith("kept ")))
          .as(said)
          .hasSize(Writers.EACH)
          .allMatch(
              line -> line.matches("kept [0-9]+") || line.contains("another program is writing"));
    }
    Verification found = Verification.of(records, looked -> {});
    assertThat(found.findings()).isEmpty();
    assertThat(found.chained()).isEqualTo(all);
    assertThat(Ledger.read(records))
        .extracting(Ledger.Line::run)
        .doesNotHaveDuplicates()
        .hasSize(all);
    try (Connection index = DriverManager.getConnection(jdbc);
        ResultSet rows =
            index
                .createStatement()
                .executeQuery(
                    "SELECT COUNT(*), (SELECT COUNT(*) FROM "
                        + result
                        + "), (SELECT COUNT(DISTINCT run) FROM "
                        + record
                        + ") FROM "
                        + record)) { // before anything makes it anew
      assertThat(rows.next()).isTrue();
      assertThat(rows.getInt(1)).as("records").isEqualTo(all);
      assertThat(rows.getInt(2)).as("results").isEqualTo(3 * all);
      assertThat(rows.getInt(3)).as("runs").isEqualTo(all);
    }
    return found;
  }

  @Test
  void diskFullWhileNewJudgementsAreWritten() throws Exception {
    Path records = folder.resolve("records");
    Path plan = RunTest.firstPower(folder);
    assertThat(
            Cli.run(
                    "run",
                    plan,
                    "--bench",
                    BENCH,
                    "--records",
                    records,
                    "--unit",
                    "LN12-001",
                    "--json")
                .code())
        .isZero();
    Map<String, String> before = FaultyFolder.documents(records);
    Path limits = folder.resolve("limits.yaml");
    Object[] rejudge = {"rejudge", "--limits", limits, "--records", records, "--write"};
    Cli full;
    try (Tmpfs disk = Tmpfs.on(records.resolve("rejudged"), 1)) {
      Path filler = disk.fill();
      full = Cli.run(rejudge);
      assertThat(full.code()).isEqualTo(4);
      assertThat(full.err()).contains("No space left on device");
      try (Stream<Path> left = Files.list(records.resolve("rejudged"))) {
        assertThat(left).containsExactly(filler);
      }
    }
    assertThat(FaultyFolder.documents(records)).isEqualTo(before);
    Cli again = Cli.run(rejudge);
    assertThat(again.code()).as(again.err()).isZero();
    assertThat(again.lastLine()).isEqualTo("new judgements kept: 1");
    TABLE.put(
        67,
        "disk full while new judgements are written",
        "told; no half of one is left, the records are untouched; the same again once there is"
            + " room",
        "exit code 4; “" + FaultTable.plain(full.err()) + "”; then: " + again.lastLine());
  }

  @Test
  void diskFullWhileCapturesAreKept() throws Exception {
    Path records = folder.resolve("records");
    Path plan = CaptureScene.shortPlan(folder, "all");
    try (Tmpfs disk = Tmpfs.on(records.resolve("captures"), 1)) {
      Path filler = disk.fill();
      Cli run = Cli.run("run", plan, "--bench", BENCH, "--records", records, "--unit", "LN12-001");
      assertThat(run.code()).as(run.out() + run.err()).isZero();
      assertThat(run.out())
          .containsOnlyOnce("captures are not kept from here on: No space left on device");
      Files.delete(filler);
    }
    Cli verify = Cli.run("store", "verify", "--records", records);
    assertThat(verify.code()).as(verify.err()).isZero();
    TABLE.put(
        68,
        "disk full while captures are kept",
        "pass: what is measured and judged needs none of them; the operator is told once, and the"
            + " record names only what is there",
        "pass, exit code 0; told: “captures are not kept from here on: No space left on device”");
  }
}
