package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FailingDiskTest {
  private static final InstantSource CLOCK =
      InstantSource.fixed(Instant.parse("2026-11-25T10:15:00.123Z"));
  private static final List<Event> EVENTS = Fixture.events();
  @TempDir Path folder;
  private RecordStore store;
  private Path file;
  private FailingChannel disk;
  private Journal journal;

  @BeforeEach
  void begin() throws IOException {
    store = new RecordStore(folder);
    file = store.journalFile(Fixture.RUN);
    disk =
        new FailingChannel(
            FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE));
    ProcessLock lock = ProcessLock.tryTake(store.lockFile(file)).orElseThrow();
    journal = new Journal(Fixture.RUN, file, disk, lock, CLOCK, new News(), () -> {});
  }

  @AfterEach
  void close() throws IOException {
    journal.close();
  }

  @Test
  void aFullDiskFailsTheAppendAndLeavesWholeLinesOnly() throws IOException {
    journal.append(EVENTS.get(0));
    long before = Files.size(file);
    for (int room : new int[] {0, 1, 40}) {
      disk.room = room;
      assertThatThrownBy(() -> journal.append(EVENTS.get(1)))
          .isInstanceOf(IOException.class)
          .hasMessageContaining(file.toString())
          .hasMessageContaining("No space left");
      assertThat(Files.size(file)).as("room for %d bytes", room).isEqualTo(before);
    }
  }

  @Test
  void whenThereIsRoomAgainTheJournalGoesOnWithoutAGap() throws IOException {
    journal.append(EVENTS.get(0));
    disk.room = 10;
    assertThatThrownBy(() -> journal.append(EVENTS.get(1))).isInstanceOf(IOException.class);
    disk.room = Long.MAX_VALUE;
    journal.append(EVENTS.get(2));
    assertThat(kept()).extracting(Entry::event).containsExactly(EVENTS.get(0), EVENTS.get(2));
  }

  @Test
  void whatCouldNotBeForcedIsNotKept() throws IOException {
    journal.append(EVENTS.get(0));
    long durable = journal.durable();
    disk.forceFails = true;
    assertThatThrownBy(() -> journal.append(EVENTS.get(1))).hasMessageContaining("Input/output");
    assertThat(journal.durable()).isEqualTo(durable);
    assertThat(kept()).hasSize(1);
  }

  @Test
  void aJournalThatCannotBeCutBackStaysReadableAndTakesNoMore() throws IOException {
    journal.append(EVENTS.get(0));
    disk.room = 10;
    disk.truncateFails = true;
    assertThatThrownBy(() -> journal.append(EVENTS.get(1))).isInstanceOf(IOException.class);
    disk.room = Long.MAX_VALUE;
    assertThatThrownBy(() -> journal.append(EVENTS.get(1)))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("broken");
    assertThat(kept()).hasSize(1);
  }

  private List<Entry> kept() throws IOException {
    try (Follower follower = store.follow(file)) {
      return follower.poll(1000);
    }
  }
}
