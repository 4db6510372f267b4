package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.Verdict;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class JournalTest {
  private static final InstantSource CLOCK =
      InstantSource.fixed(Instant.parse("2026-11-25T10:15:00.123Z"));
  @TempDir Path folder;
  private RecordStore store;

  @BeforeEach
  void openStore() throws IOException {
    store = new RecordStore(folder.resolve("records"));
  }

  @Test
  void appendReturnsTheEntryAsKept() throws IOException {
    List<Entry> kept = writeFixture();
    try (Follower follower = store.follow(store.journalFile(Fixture.RUN))) {
      assertThat(follower.poll(1000)).isEqualTo(kept);
      assertThat(follower.ended()).isTrue();
    }
    assertThat(kept).extracting(Entry::event).isEqualTo(Fixture.events());
    assertThat(kept.get(3).id()).isEqualTo(Fixture.RUN + "/3");
  }

  @Test
  void eachReaderHasItsOwnPlaceAndSeesOnlyWhatIsThere() throws IOException {
    try (Journal journal = store.begin(Fixture.RUN, CLOCK);
        Follower fast = store.follow(journal.file());
        Follower slow = store.follow(journal.file())) {
      int seen = 0;
      for (Event event : Fixture.events()) {
        Entry entry = journal.append(event);
        assertThat(fast.poll(10)).containsExactly(entry);
        assertThat(fast.position()).isEqualTo(++seen);
      }
      assertThat(fast.poll(10)).isEmpty();
      assertThat(slow.poll(5)).hasSize(5);
      assertThat(slow.finished()).isFalse();
      assertThat(slow.poll(100)).hasSize(seen - 5);
      assertThat(slow.finished()).isTrue();
    }
  }

  @Test
  void aWaitingReaderWakesWithTheNextEntry() throws Exception {
    try (Journal journal = store.begin(Fixture.RUN, CLOCK);
        Follower follower = store.follow(journal.file())) {
      CompletableFuture<List<Entry>> woken =
          CompletableFuture.supplyAsync(
              () -> {
                try {
                  return follower.await(10, Duration.ofSeconds(30));
                } catch (IOException | InterruptedException e) {
                  throw new IllegalStateException(e);
                }
              });
      Entry entry = journal.append(Fixture.events().get(0));
      assertThat(woken.get(10, TimeUnit.SECONDS)).containsExactly(entry);
      assertThat(follower.await(10, Duration.ZERO)).isEmpty();
    }
  }

  @Test
  void aReaderIsToldThatTheWriterIsGone() throws IOException {
    Journal journal = store.begin(Fixture.RUN, CLOCK);
    try (Follower follower = store.follow(journal.file())) {
      journal.append(Fixture.events().get(0));
      journal.close();
      assertThat(follower.poll(10)).hasSize(1);
      assertThat(follower.poll(10)).isEmpty();
      assertThat(follower.finished()).isTrue();
      assertThat(follower.ended()).isFalse();
    }
  }

  @Test
  void aTornLastLineIsNotGivenOut() throws IOException {
    writeFixture();
    Path file = store.journalFile(Fixture.RUN);
    byte[] whole = Files.readAllBytes(file);
    String lastLine = Files.readAllLines(file).get(Fixture.events().size() - 1);
    int lastStart = whole.length - lastLine.length() - 1;
    for (int cut = lastStart; cut < whole.length; cut++) {
      Files.write(file, java.util.Arrays.copyOf(whole, cut));
      try (Follower follower = store.follow(file)) {
        assertThat(follower.poll(1000)).hasSize(Fixture.events().size() - 1);
        assertThat(follower.ended()).isFalse();
      }
    }
  }

  @Test
  void damageInTheMiddleIsNamedByFileAndLine() throws IOException {
    writeFixture();
    Path file = store.journalFile(Fixture.RUN);
    List<String> lines = new ArrayList<>(Files.readAllLines(file));
    lines.remove(4);
    Files.write(file, lines);
    try (Follower follower = store.follow(file)) {
      assertThat(follower.poll(4)).hasSize(4);
      assertThatThrownBy(() -> follower.poll(1))
          .isInstanceOf(EventFormatException.class)
          .hasMessageContaining(file + ", line 5: expected entry 4, found " + Fixture.RUN + "/5");
    }
  }

  @Test
  void oneRunHasOneJournalAndOneWriter() throws IOException {
    try (Journal journal = store.begin(Fixture.RUN, CLOCK)) {
      assertThat(journal.run()).isEqualTo(Fixture.RUN);
      assertThatThrownBy(() -> store.begin(Fixture.RUN, CLOCK))
          .isInstanceOf(IOException.class)
          .hasMessageContaining("going on already");
      assertThat(store.isLiveHere(journal.file())).isTrue();
    }
    assertThat(store.isLiveHere(store.journalFile(Fixture.RUN))).isFalse();
    assertThatThrownBy(() -> store.begin(Fixture.RUN, CLOCK)).isInstanceOf(IOException.class);
  }

  @Test
  void aJournalBeginsWithItsRunAndEndsWithItsEnd() throws IOException {
    try (Journal journal = store.begin("other", CLOCK)) {
      assertThatThrownBy(() -> journal.append(new Event.Notice("early")))
          .isInstanceOf(IllegalStateException.class);
      assertThatThrownBy(() -> journal.append(Fixture.events().get(0)))
          .isInstanceOf(IllegalStateException.class);
      journal.append(new RandomEvents(1).start("other"));
      assertThatThrownBy(() -> journal.append(new RandomEvents(1).start("other")))
          .isInstanceOf(IllegalStateException.class);
      journal.append(new Event.RunEnded(Verdict.PASS, "", List.of()));
      assertThatThrownBy(() -> journal.append(new Event.Notice("late")))
          .isInstanceOf(IllegalStateException.class);
    }
  }

  @Test
  void journalsAreListedOldestRunFirst() throws IOException {
    for (String run : List.of("20260102T0", "20260101T0", "20251231T0")) {
      store.begin(run, CLOCK).close();
    }
    Files.writeString(
        folder.resolve("records/journals/note.txt"), "not ours", StandardOpenOption.CREATE_NEW);
    assertThat(store.journalFiles())
        .extracting(f -> f.getFileName().toString())
        .containsExactly("20251231T0.jsonl", "20260101T0.jsonl", "20260102T0.jsonl");
  }

  private List<Entry> writeFixture() throws IOException {
    List<Entry> kept = new ArrayList<>();
    try (Journal journal = store.begin(Fixture.RUN, CLOCK)) {
      for (Event event : Fixture.events()) {
        kept.add(journal.append(event));
      }
    }
    return kept;
  }
}
