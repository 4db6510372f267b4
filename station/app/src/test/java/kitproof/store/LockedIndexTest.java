package kitproof.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import kitproof.event.Verdict;
import kitproof.journal.KeptRuns;
import kitproof.journal.RecordStore;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** An index beside the records that another program is writing to, for longer than one waits. */
class LockedIndexTest {
  @TempDir Path folder;
  private RecordStore store;
  private IndexPlace place;

  @BeforeEach
  void keepThree() throws Exception {
    store = new RecordStore(folder);
    place = new SqlitePlace(Index.file(folder), Duration.ofMillis(50));
    keep("r1", "LN12-001", 1, Verdict.FAIL);
    keep("r2", "LN12-002", 2, Verdict.PASS);
    keep("r3", "LN12-001", 3, Verdict.PASS);
  }

  private void keep(String run, String unit, int day, Verdict verdict) throws Exception {
    Instant time = Instant.parse("2026-11-0" + day + "T10:00:00Z");
    var unused = KeptRuns.keep(store, run, "bench-1", unit, time, verdict);
  }

  private Indexing catchUp() throws Exception {
    try (Index index = Index.open(folder, place)) {
      return Indexing.catchUp(folder, index, (looked, of) -> true);
    }
  }

  private int records() throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + Index.file(folder));
        ResultSet result =
            connection.createStatement().executeQuery("SELECT COUNT(*) FROM record")) {
      return result.getInt(1);
    }
  }

  @Test
  void anIndexThatIsLockedIsAnErrorOfTheIndexAlone() throws Exception {
    catchUp();
    keep("r4", "LN12-003", 4, Verdict.PASS);
    try (Connection other = DriverManager.getConnection("jdbc:sqlite:" + Index.file(folder))) {
      other.createStatement().execute("BEGIN IMMEDIATE");
      assertThatThrownBy(this::catchUp)
          .isInstanceOf(IndexException.class)
          .hasMessageContaining("cannot be used");
      other.createStatement().execute("ROLLBACK");
    }
    assertThat(catchUp().taken()).isEqualTo(1);
  }

  @Test
  void aLockedIndexIsCaughtUpWhenTheLockIsGone() throws Exception {
    catchUp();
    keep("r4", "LN12-003", 4, Verdict.PASS);
    List<String> heard = new CopyOnWriteArrayList<>();
    IndexKeeper.Listener listener =
        new IndexKeeper.Listener() {
          @Override
          public void behind(String trouble) {
            heard.add(trouble);
          }

          @Override
          public void upToDate() {
            heard.add("up to date");
          }
        };
    try (Connection other = DriverManager.getConnection("jdbc:sqlite:" + Index.file(folder))) {
      other.createStatement().execute("BEGIN IMMEDIATE");
      try (IndexKeeper keeper = IndexKeeper.start(folder, place, listener)) {
        Awaitility.await().atMost(Duration.ofSeconds(60)).until(() -> !heard.isEmpty());
        other.createStatement().execute("ROLLBACK");
        keeper.tell();
        Awaitility.await().atMost(Duration.ofSeconds(60)).until(() -> heard.contains("up to date"));
      }
    }
    assertThat(heard).hasSize(2);
    assertThat(heard.get(0)).contains("another program is writing to it");
    assertThat(records()).isEqualTo(4);
  }
}
