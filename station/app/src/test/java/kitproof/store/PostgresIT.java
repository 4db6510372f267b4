package kitproof.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import kitproof.batch.Linnets;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.KeptRuns;
import kitproof.journal.RecordStore;
import kitproof.peer.PostgreSql;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The index in a real PostgreSQL; what it says is asked of the server itself, by plain JDBC. */
class PostgresIT {
  private static final IndexLogin ME = new IndexLogin(System.getProperty("user.name"), null);
  private static final Duration PATIENCE = Duration.ofSeconds(60);

  private static PostgreSql server;
  private static int databases;

  @TempDir Path folder;
  private String database = "";

  @BeforeAll
  static void startServer() throws IOException {
    server = PostgreSql.open().start();
  }

  @AfterAll
  static void endServer() throws IOException {
    server.close();
  }

  @BeforeEach
  void makeDatabase() throws IOException {
    database = "shop" + ++databases;
    server.createDatabase(database);
  }

  private PostgresPlace place() {
    return PostgresPlace.parse(server.address(database), ME);
  }

  /** Three runs of two units on one station. */
  private Path station(String name) throws IOException {
    Path records = folder.resolve(name);
    keep(records, name, "LN12-001", 1, Verdict.FAIL);
    keep(records, name, "LN12-002", 2, Verdict.PASS);
    keep(records, name, "LN12-001", 3, Verdict.PASS);
    return records;
  }

  private static void keep(Path records, String station, String unit, int day, Verdict verdict)
      throws IOException {
    Instant time = Instant.parse("2026-11-0" + day + "T10:00:00Z");
    KeptRuns.keep(new RecordStore(records), station + "-r" + day, station, unit, time, verdict);
  }

  private Indexing catchUp(Path records) throws IndexException, IOException {
    try (Index index = Index.open(records, place())) {
      return Indexing.catchUp(records, index, (looked, of) -> true);
    }
  }

  private List<String> ask(String sql) throws SQLException {
    String url = "jdbc:" + server.address(database) + "?currentSchema=kitproof";
    return ask(url, ME.user(), sql);
  }

  private static List<String> ask(String url, String user, String sql) throws SQLException {
    List<String> rows = new ArrayList<>();
    try (Connection connection = DriverManager.getConnection(url, user, "");
        ResultSet result = connection.createStatement().executeQuery(sql)) {
      while (result.next()) {
        List<String> row = new ArrayList<>();
        for (int i = 1; i <= result.getMetaData().getColumnCount(); i++) {
          row.add(String.valueOf(result.getObject(i)));
        }
        rows.add(String.join("|", row));
      }
    }
    return rows;
  }

  @Test
  void bothKindsOfIndexHoldTheSame() throws Exception {
    Path records = station("bench-1");
    keep(records, "bench-1", "LN12-001", 4, Verdict.ABORTED);
    keep(records, "bench-1", "LN12-001", 5, Verdict.ERROR); // no attempt
    keep(records, "bench-1", "LN12-003", 6, Verdict.ERROR);
    for (boolean calibrated : new boolean[] {true, false}) {
      new Linnets(records)
          .told(new Event.CalibrationTold(calibrated, "calibrated or not", List.of()))
          .comparedWith("LN12-090")
          .run("pilot", calibrated ? 21 : 22, 26, -0.5);
    }
    catchUp(records);
    try (Index beside = Index.open(records)) {
      Indexing.catchUp(records, beside, (looked, of) -> true);
    }
    String file = "jdbc:sqlite:" + Index.file(records);
    for (String sql :
        List.of(
            "SELECT run, document, bytes, modified, shop, station, unit, batch, product, revision,"
                + " plan, verdict, reason, started, ended, calibrated, calibration, reference FROM"
                + " record ORDER BY run",
            "SELECT run, place, step, name, conditions, value, result.unit, low, high, outcome,"
                + " detail FROM result JOIN record ON id = record ORDER BY run, place",
            "SELECT run, number, from_last FROM attempt ORDER BY run")) {
      assertThat(ask(sql)).as(sql).isNotEmpty().isEqualTo(ask(file, "", sql));
    }
    assertThat(ask("SELECT calibrated, calibration, reference FROM record WHERE batch = 'pilot'"))
        .containsExactlyInAnyOrder("1|calibrated or not|LN12-090", "0|calibrated or not|LN12-090");
    assertThat(
            ask(
                "SELECT run, number FROM attempt WHERE station = 'bench-1' AND batch <> 'pilot'"
                    + " ORDER BY run"))
        .containsExactly("bench-1-r1|1", "bench-1-r2|1", "bench-1-r3|2", "bench-1-r4|3");
    try (Index shared = Index.open(place());
        Index beside = Index.open(records)) {
      assertThat(shared.units("")).hasSize(5).isEqualTo(beside.units(""));
    }
  }

  @Test
  void stationsShareItAndNoneForgetsWhatIsOfAnother() throws Exception {
    Path one = station("bench-1");
    Path two = station("bench-2");
    catchUp(one);
    catchUp(two);
    assertThat(catchUp(one).taken()).isZero();
    assertThat(ask("SELECT station, COUNT(*) FROM record GROUP BY station ORDER BY station"))
        .containsExactly("bench-1|3", "bench-2|3");
    // attempts of a unit are numbered over all stations
    try (Index index = Index.open(place())) {
      assertThat(index.units(""))
          .extracting(Index.UnitOutcome::unit, Index.UnitOutcome::attempts)
          .containsExactly(
              org.assertj.core.groups.Tuple.tuple("LN12-002", 2),
              org.assertj.core.groups.Tuple.tuple("LN12-001", 4));
    }
    Files.delete(two.resolve("bench-2-r2.json"));
    assertThat(catchUp(two).removed()).isEqualTo(1);
    assertThat(Indexing.rebuild(one, place(), (looked, of) -> true).taken()).isEqualTo(3);
    assertThat(ask("SELECT run FROM record ORDER BY run"))
        .containsExactly("bench-1-r1", "bench-1-r2", "bench-1-r3", "bench-2-r1", "bench-2-r3");
  }

  @Test
  void aFolderThatWasCopiedElsewhereIsTheSameFolder() throws Exception {
    Path one = station("bench-1");
    catchUp(one);
    Path copy = folder.resolve("backup");
    Files.createDirectories(copy);
    try (var files = Files.list(one)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        Files.copy(file, copy.resolve(file.getFileName()));
      }
    }
    Indexing.rebuild(copy, place(), (looked, of) -> true);
    assertThat(ask("SELECT COUNT(*) FROM record")).containsExactly("3");
  }

  @Test
  void writersOfTheSameRecordsDoNotHarmEachOther() throws Exception {
    Path records = station("bench-1");
    Path other = station("bench-2");
    ExecutorService writers = Executors.newFixedThreadPool(4);
    try {
      List<Future<Integer>> done = new ArrayList<>();
      for (int writer = 0; writer < 4; writer++) {
        Path own = writer == 3 ? other : records;
        Callable<Integer> work =
            () -> {
              for (int i = 0; i < 5; i++) { // the first of them makes the tables
                Indexing.rebuild(own, place(), (looked, of) -> true);
              }
              return catchUp(own).findings().size();
            };
        done.add(writers.submit(work));
      }
      for (Future<Integer> one : done) {
        assertThat(one.get()).isZero();
      }
    } finally {
      writers.shutdownNow();
    }
    catchUp(records);
    assertThat(ask("SELECT COUNT(*), COUNT(DISTINCT run) FROM record")).containsExactly("6|6");
    assertThat(ask("SELECT record, COUNT(*) FROM result GROUP BY record HAVING COUNT(*) <> 3"))
        .isEmpty();
  }

  /** Hears what the keeper tells. */
  private static final class Heard implements IndexKeeper.Listener {
    final List<String> all = new CopyOnWriteArrayList<>();

    @Override
    public void behind(String trouble) {
      all.add("behind: " + trouble);
    }

    @Override
    public void upToDate() {
      all.add("up to date");
    }
  }

  @Test
  void whileTheServerIsGoneRecordsWaitAndThenTheyAreTakenIn() throws Exception {
    Path records = station("bench-1");
    Heard heard = new Heard();
    try (IndexKeeper keeper = IndexKeeper.start(records, place(), heard)) {
      Awaitility.await()
          .atMost(PATIENCE)
          .ignoreExceptions()
          .untilAsserted(() -> assertThat(ask("SELECT COUNT(*) FROM record")).containsExactly("3"));
      server.kill();
      keep(records, "bench-1", "LN12-003", 4, Verdict.PASS);
      keeper.tell();
      Awaitility.await().atMost(PATIENCE).until(() -> !heard.all.isEmpty());
      keep(records, "bench-1", "LN12-004", 5, Verdict.PASS);
      keeper.tell();
      server.start();
      Awaitility.await().atMost(PATIENCE).until(() -> heard.all.contains("up to date"));
    } finally {
      server.start();
    }
    assertThat(heard.all).hasSize(2);
    assertThat(heard.all.get(0)).contains("PostgreSQL cannot be reached", server.address(database));
    assertThat(ask("SELECT COUNT(*) FROM record")).containsExactly("5");
  }

  @Test
  void goneInTheMiddleOfATransactionLeavesNoHalfRecord() throws Exception {
    Path records = station("bench-1");
    try (Index index = Index.open(records, place())) {
      assertThatThrownBy(
              () ->
                  Indexing.catchUp(
                      records,
                      index,
                      (looked, of) -> {
                        if (looked == 2) {
                          killed();
                        }
                        return true;
                      }))
          .isInstanceOf(IndexException.class)
          .hasMessageContaining("PostgreSQL cannot be reached");
    } finally {
      server.start();
    }
    assertThat(catchUp(records).taken()).isEqualTo(3);
    assertThat(ask("SELECT COUNT(*) FROM result")).containsExactly("9");
  }

  private static void killed() {
    try {
      server.kill();
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  @Test
  void whoIsNotAdmittedAndWhatIsNotThereIsSaid() throws Exception {
    Path records = station("bench-1");
    server.createUser("station", "s3cret");
    String address = server.address("station");
    IndexLogin good = new IndexLogin("station", "s3cret");
    try (Index index = Index.open(records, PostgresPlace.parse(address, good))) {
      assertThat(Indexing.catchUp(records, index, (looked, of) -> true).taken()).isEqualTo(3);
    }
    IndexLogin bad = new IndexLogin("station", "guessed");
    assertThatThrownBy(() -> Index.open(records, PostgresPlace.parse(address, bad)))
        .isInstanceOf(IndexException.class)
        .hasMessageContaining("KITPROOF_INDEX_PASSWORD")
        .hasMessageNotContaining("guessed");
    assertThatThrownBy(
            () -> Index.open(records, PostgresPlace.parse(server.address("nowhere"), ME)))
        .hasMessageContaining("there is no such database");
    assertThatThrownBy(
            () -> Index.open(records, PostgresPlace.parse(address + "?sslmode=verify-full", good)))
        .hasMessageContaining("SSL");
  }

  @Test
  void aNewerFormIsRefusedAndLeftAlone() throws Exception {
    Path records = station("bench-1");
    catchUp(records);
    String newer =
        "INSERT INTO flyway_schema_history SELECT 99, '99', 'later', type, script, checksum,"
            + " installed_by, installed_on, execution_time, success FROM flyway_schema_history"
            + " WHERE version = '2' RETURNING version";
    assertThat(ask(newer)).containsExactly("99");
    assertThatThrownBy(() -> catchUp(records))
        .isInstanceOf(IndexException.class)
        .hasMessageContaining("a newer program has brought it to form 99");
    assertThat(ask("SELECT COUNT(*) FROM record")).containsExactly("3");
  }
}
