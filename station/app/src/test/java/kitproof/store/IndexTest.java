package kitproof.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.Fixture;
import kitproof.journal.Journal;
import kitproof.journal.KeptRuns;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordHead;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import org.flywaydb.core.Flyway;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the index says is asked of the file itself, through plain JDBC. */
class IndexTest {
  @TempDir Path folder;
  private RecordStore store;

  @BeforeEach
  void keepThree() throws IOException {
    store = new RecordStore(folder);
    keep("r1", "LN12-001", 1, Verdict.FAIL);
    keep("r2", "LN12-002", 2, Verdict.PASS);
    keep("r3", "LN12-001", 3, Verdict.PASS);
  }

  private Path keep(String run, String unit, int day, Verdict verdict) throws IOException {
    Instant time = Instant.parse("2026-11-0" + day + "T10:00:00Z");
    return KeptRuns.keep(store, run, "bench-1", unit, time, verdict);
  }

  private Indexing catchUp() throws Exception {
    try (Index index = Index.open(folder)) {
      return Indexing.catchUp(folder, index, (looked, of) -> true);
    }
  }

  private List<String> ask(String sql) throws Exception {
    List<String> rows = new ArrayList<>();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + Index.file(folder));
        ResultSet result = connection.createStatement().executeQuery(sql)) {
      while (result.next()) {
        List<String> row = new ArrayList<>();
        for (int i = 1; i <= result.getMetaData().getColumnCount(); i++) {
          row.add(result.getString(i));
        }
        rows.add(String.join("|", row.stream().map(String::valueOf).toList()));
      }
    }
    return rows;
  }

  @Test
  void everyRecordAndResultIsInIt() throws Exception {
    assertThat(catchUp().taken()).isEqualTo(3);
    assertThat(ask("SELECT run, unit, verdict FROM record ORDER BY run"))
        .containsExactly("r1|LN12-001|fail", "r2|LN12-002|pass", "r3|LN12-001|pass");
    assertThat(
            ask(
                "SELECT place, step, name, conditions, value, unit, low, high, outcome FROM result"
                    + " WHERE record = (SELECT id FROM record WHERE run = 'r1') ORDER BY place"))
        .containsExactly(
            "0|rail|hv||331.2|V|315.0|345.0|pass",
            "1|rail|hv ripple||null||null|null|not judged",
            "2|response|frequency response|mode=triode;tap=8 ohm|null||null|null|fail");
  }

  @Test
  void attemptsAreNumberedAndFirstAndLastKeptApart() throws Exception {
    catchUp();
    assertThat(ask("SELECT run, number FROM attempt ORDER BY run"))
        .containsExactly("r1|1", "r2|1", "r3|2");
    try (Index index = Index.open(folder)) {
      assertThat(index.units(""))
          .extracting(
              Index.UnitOutcome::unit,
              Index.UnitOutcome::attempts,
              Index.UnitOutcome::first,
              Index.UnitOutcome::last)
          .containsExactly(
              org.assertj.core.groups.Tuple.tuple("LN12-002", 1, "pass", "pass"),
              org.assertj.core.groups.Tuple.tuple("LN12-001", 2, "fail", "pass"));
      assertThat(index.units("no such batch")).isEmpty();
    }
  }

  @Test
  void aRunInErrorIsNoAttempt() throws Exception {
    keep("r0", "LN12-002", 1, Verdict.ERROR);
    keep("r4", "LN12-001", 4, Verdict.ABORTED);
    keep("r5", "LN12-001", 5, Verdict.ERROR);
    keep("r6", "LN12-003", 6, Verdict.ERROR);
    keep("r7", "LN12-003", 7, Verdict.ERROR);
    catchUp();
    assertThat(ask("SELECT run, number, from_last FROM attempt ORDER BY run"))
        .containsExactly("r1|1|3", "r2|1|1", "r3|2|2", "r4|3|1");
    try (Index index = Index.open(folder)) {
      assertThat(index.units(""))
          .extracting(
              Index.UnitOutcome::unit,
              Index.UnitOutcome::attempts,
              Index.UnitOutcome::first,
              Index.UnitOutcome::last)
          .containsExactly(
              org.assertj.core.groups.Tuple.tuple("LN12-002", 1, "pass", "pass"),
              org.assertj.core.groups.Tuple.tuple("LN12-001", 3, "fail", "aborted"),
              org.assertj.core.groups.Tuple.tuple("LN12-003", 0, "", ""));
    }
  }

  @Test
  void catchingUpReadsOnlyWhatIsNewChangedOrGone() throws Exception {
    catchUp();
    assertThat(catchUp().taken()).isZero();
    keep("r4", "LN12-003", 4, Verdict.PASS);
    assertThat(catchUp().taken()).isEqualTo(1);
    Path changed = folder.resolve("r2.json");
    Files.writeString(changed, Files.readString(changed).replace("331.2", "331.25"));
    assertThat(catchUp().taken()).isEqualTo(1);
    assertThat(
            ask(
                "SELECT value FROM result JOIN record ON id = record WHERE run = 'r2' AND name = 'hv'"))
        .containsExactly("331.25");
    Files.delete(folder.resolve("r1.json"));
    assertThat(catchUp().removed()).isEqualTo(1);
    assertThat(ask("SELECT run FROM record ORDER BY run")).containsExactly("r2", "r3", "r4");
    assertThat(ask("SELECT COUNT(*) FROM result WHERE record NOT IN (SELECT id FROM record)"))
        .containsExactly("0");
  }

  @Test
  void aRunWithAnotherBeginningTakesThePlaceOfTheOld() throws Exception {
    catchUp();
    Path changed = folder.resolve("r2.json");
    Files.writeString(changed, Files.readString(changed).replace("T10:00:00", "T11:00:00"));
    assertThat(catchUp().taken()).isEqualTo(1);
    assertThat(ask("SELECT run, COUNT(*) FROM record GROUP BY run ORDER BY run"))
        .containsExactly("r1|1", "r2|1", "r3|1");
    assertThat(ask("SELECT COUNT(*) FROM result")).containsExactly("9");
  }

  @Test
  void aRenamedDocumentStaysInIt() throws Exception {
    catchUp();
    Files.move(folder.resolve("r1.json"), folder.resolve("renamed.json"));
    assertThat(catchUp().removed()).isZero();
    assertThat(ask("SELECT document FROM record WHERE run = 'r1'")).containsExactly("renamed.json");
  }

  @Test
  void theIndexIsMadeAnewFromTheDocumentsAlone() throws Exception {
    catchUp();
    List<String> before = ask("SELECT * FROM result ORDER BY record, place");
    Files.writeString(Index.file(folder), "no database at all, ".repeat(1000));
    assertThatThrownBy(this::catchUp)
        .isInstanceOf(IndexException.class)
        .hasMessageContaining(Index.file(folder).toString());
    List<String> progress = new ArrayList<>();
    Indexing done = Indexing.rebuild(folder, (looked, of) -> progress.add(looked + " of " + of));
    assertThat(done.taken()).isEqualTo(3);
    assertThat(progress).containsExactly("1 of 3", "2 of 3", "3 of 3");
    assertThat(ask("SELECT * FROM result ORDER BY record, place")).isEqualTo(before);
  }

  @Test
  void aDocumentThatCannotBeReadIsToldAndTheOthersAreInIt() throws Exception {
    Files.writeString(folder.resolve("r2.json"), "{\"schema\":1,\"run\":\"r2\"");
    Files.writeString(folder.resolve("r5.json"), "{\"schema\":99,\"events\":[]}");
    Indexing done = catchUp();
    assertThat(done.taken()).isEqualTo(2);
    assertThat(done.findings()).extracting(Finding::record).containsExactly("r2.json", "r5.json");
  }

  /** A newer program may have events and forms of its own; what it wrote waits for it. */
  @Test
  void aRecordOfANewerFormIsToldAsSuchAndNothingOfItIsLost() throws Exception {
    Path newer = folder.resolve("r2.json");
    String text =
        Files.readString(newer)
            .replaceFirst("\"schema\":1", "\"schema\":99")
            .replace("\"type\":\"run-ended\"", "\"type\":\"run-ended-in-another-way\"");
    Files.writeString(newer, text);
    assertThatThrownBy(() -> RecordDocument.read(newer))
        .hasMessage(
            newer
                + ": schema 99 is not known here; expected 1 or older, so read it with a newer"
                + " program");
    Indexing done = Indexing.rebuild(folder, (looked, of) -> true);
    assertThat(done.taken()).isEqualTo(2);
    assertThat(done.findings())
        .singleElement()
        .asString()
        .contains("r2.json", "schema 99 is not known here");
    assertThat(Files.readString(newer)).isEqualTo(text);
    assertThat(RecordHead.read(newer).run()).isEqualTo("r2");
  }

  @Test
  void itCanStopOnTheWayAndGoOnLater() throws Exception {
    try (Index index = Index.open(folder)) {
      assertThat(Indexing.catchUp(folder, index, (looked, of) -> looked < 2).taken()).isEqualTo(2);
      assertThat(Indexing.catchUp(folder, index, (looked, of) -> true).taken()).isEqualTo(1);
      assertThat(index.records()).isEqualTo(3);
      assertThat(index.results()).isEqualTo(9);
    }
  }

  @Test
  void anIndexInTheWayIsToldOnceAndNoDocumentIsTouched() throws Exception {
    Files.createDirectory(Index.file(folder)); // nothing can be written there
    List<FileTime> before = times();
    List<String> trouble = new CopyOnWriteArrayList<>();
    IndexKeeper keeper = IndexKeeper.start(folder, trouble::add);
    keeper.tell();
    keeper.close();
    assertThat(trouble).singleElement().asString().contains("index.sqlite cannot be used");
    assertThat(times()).isEqualTo(before);
  }

  private List<FileTime> times() throws IOException {
    List<FileTime> times = new ArrayList<>();
    for (Path document : Documents.in(folder)) {
      times.add(Files.getLastModifiedTime(document));
    }
    return times;
  }

  @Test
  void theKeeperTakesInWhatThereIsBeforeItCloses() throws Exception {
    List<String> trouble = new CopyOnWriteArrayList<>();
    try (IndexKeeper keeper = IndexKeeper.start(folder, trouble::add)) {
      keep("r4", "LN12-003", 4, Verdict.PASS);
      keeper.tell();
    }
    assertThat(trouble).isEmpty();
    assertThat(ask("SELECT COUNT(*) FROM record")).containsExactly("4");
  }

  @Test
  void theFormOfAnOlderProgramIsBroughtUpAndFilledFromTheDocuments() throws Exception {
    Flyway.configure(Index.class.getClassLoader())
        .dataSource("jdbc:sqlite:" + Index.file(folder), "", "")
        .locations("classpath:kitproof/store")
        .target("1")
        .load()
        .migrate();
    assertThat(ask("SELECT COUNT(*) FROM record")).containsExactly("0");
    assertThat(ask("SELECT COUNT(*) FROM pragma_table_info('record') WHERE name = 'folder'"))
        .containsExactly("0");
    assertThat(catchUp().taken()).isEqualTo(3);
    assertThat(ask("SELECT COUNT(*) FROM result")).containsExactly("9");
  }

  @Test
  void howTheBenchStoodToItsCalibrationIsInIt() throws Exception {
    String words = "UNCALIBRATED: no figure is known to any accuracy";
    String run = ((Event.RunStarted) Fixture.events().get(0)).run();
    try (Journal journal = store.begin(run, () -> Instant.parse("2026-11-05T10:00:00Z"))) {
      for (Event event : Fixture.events()) {
        journal.append(event);
        if (event instanceof Event.RunStarted) {
          journal.append(new Event.CalibrationTold(false, words, List.of()));
        }
      }
      var unused = RecordDocument.write(store, journal.file());
    }
    catchUp();
    try (Index index = Index.open(folder)) {
      String batch = ((Event.RunStarted) Fixture.events().get(0)).batch();
      List<RunRecord> runs = index.batch(batch).runs();
      assertThat(runs)
          .extracting(RunRecord::calibration)
          .contains(
              Optional.empty(), Optional.of(new Event.CalibrationTold(false, words, List.of())));
    }
  }

  @Test
  void theFormOfANewerProgramIsRefusedAndLeftAlone() throws Exception {
    catchUp();
    try (Connection other = DriverManager.getConnection("jdbc:sqlite:" + Index.file(folder))) {
      other
          .createStatement()
          .execute(
              "INSERT INTO flyway_schema_history SELECT 99, '99', 'later', type, script, checksum,"
                  + " installed_by, installed_on, execution_time, success FROM"
                  + " flyway_schema_history WHERE version = '2'");
    }
    assertThatThrownBy(this::catchUp)
        .isInstanceOf(IndexException.class)
        .hasMessageContaining("a newer program has brought it to form 99");
    assertThat(ask("SELECT COUNT(*) FROM record")).containsExactly("3");
  }

  @Test
  void writersOfOneFolderTakeTurnsFromTheFirstMomentOn() throws Exception {
    ExecutorService writers = Executors.newFixedThreadPool(3);
    try {
      List<Future<Indexing>> done = new ArrayList<>();
      for (int i = 0; i < 3; i++) {
        done.add(writers.submit(this::catchUp));
      }
      for (Future<Indexing> one : done) {
        assertThat(one.get().findings()).isEmpty();
      }
    } finally {
      writers.shutdownNow();
    }
    assertThat(ask("SELECT COUNT(*) FROM result")).containsExactly("9");
  }
}
