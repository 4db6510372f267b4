package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.Recovery.Action;
import kitproof.journal.Recovery.Recovered;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RecoveryTest {
  private static final Instant LATER = Instant.parse("2026-11-26T08:00:00Z");
  private static final InstantSource CLOCK = InstantSource.fixed(LATER);
  private static final List<Entry> ENTRIES = Fixture.entries();
  @TempDir Path folder;
  private RecordStore store;
  private Path file;

  @BeforeEach
  void openStore() throws IOException {
    store = new RecordStore(folder);
    file = store.journalFile(Fixture.RUN);
  }

  @Test
  void aJournalCutAtAnyPlaceBecomesARecordOfItsWholeLines() throws IOException {
    byte[] whole = bytes(ENTRIES);
    int firstLine = bytes(ENTRIES.subList(0, 1)).length;
    for (int cut : cuts()) {
      Files.write(file, Arrays.copyOf(whole, cut));
      Files.write(store.lockFile(file), new byte[0]);
      Files.deleteIfExists(store.recordFile(Fixture.RUN));
      List<Recovered> done = Recovery.run(store, CLOCK);
      if (cut < firstLine) {
        assertThat(done).extracting(Recovered::action).containsExactly(Action.SET_ASIDE);
        assertThat(done.get(0).file()).exists().hasSize(cut);
        assertThat(file).doesNotExist();
        Files.delete(done.get(0).file());
        continue;
      }
      assertThat(done)
          .as("cut at %d", cut)
          .extracting(Recovered::action)
          .containsExactly(Action.ABORTED);
      RunRecord record = RecordDocument.read(store.recordFile(Fixture.RUN));
      List<Entry> kept = record.events().subList(0, record.events().size() - 1);
      int lines = (int) new String(whole, 0, cut, StandardCharsets.UTF_8).lines().count();
      assertThat(kept.size()).isBetween(lines - 1, lines);
      assertThat(kept).isEqualTo(ENTRIES.subList(0, kept.size()));
      assertThat(bytes(kept).length).isLessThanOrEqualTo(cut);
      assertThat(record.verdict()).isEqualTo(Verdict.ABORTED);
      assertThat(record.reason()).isEqualTo("the program was ended in the middle of the run");
      assertThat(record.ended()).isEqualTo(LATER);
      assertThat(store.lockFile(file)).doesNotExist();
      assertThat(Recovery.run(store, CLOCK)).as("a second time").isEmpty();
    }
  }

  @Test
  void aRunWithoutAnEndIsCutShortAndLookingChangesNothing() throws IOException {
    assertThat(Recovery.cutShort(folder.resolve("nowhere"))).isEmpty();
    assertThat(folder.resolve("nowhere")).doesNotExist();
    assertThat(Recovery.cutShort(folder)).isEmpty();

    byte[] cut = bytes(ENTRIES.subList(0, 3));
    Files.write(file, cut);
    Files.write(store.lockFile(file), new byte[0]);
    assertThat(Recovery.cutShort(folder)).containsExactly(RecordStore.stem(file));
    assertThat(file).hasBinaryContent(cut);
    assertThat(store.lockFile(file)).exists();
    assertThat(store.recordFile(Fixture.RUN)).doesNotExist();

    try (ProcessLock alive = ProcessLock.tryTake(store.lockFile(file)).orElseThrow()) {
      assertThat(Recovery.cutShort(folder)).as("its program lives: %s", alive).isEmpty();
    }
    Files.write(file, Arrays.copyOf(cut, 20));
    assertThat(Recovery.cutShort(folder)).as("nothing was begun").isEmpty();
    Files.write(file, bytes(ENTRIES));
    assertThat(Recovery.cutShort(folder)).as("ended, its record missing").isEmpty();
    assertThat(store.recordFile(Fixture.RUN)).doesNotExist();
  }

  @Test
  void aGarbledLastLineIsCutOffEvenIfItHasAnEnd() throws IOException {
    byte[] start = bytes(ENTRIES.subList(0, 3));
    byte[] torn = Arrays.copyOf(start, start.length + 40);
    torn[torn.length - 1] = '\n';
    Files.write(file, torn);
    assertThat(Recovery.run(store, CLOCK))
        .extracting(Recovered::action)
        .containsExactly(Action.ABORTED);
    assertThat(RecordDocument.read(store.recordFile(Fixture.RUN)).events()).hasSize(4);
  }

  @Test
  void aRunCutShortWithMainsOnLeavesAUnitOfWhichNothingIsKnown() throws IOException {
    for (SafeToOpen last : SafeToOpen.values()) {
      List<Entry> entries = new ArrayList<>(ENTRIES.subList(0, 2));
      Event told = new Event.OpeningTold(last, "as told last");
      entries.add(new Entry(Fixture.RUN, 2, LATER, told));
      Files.write(store.journalFile(Fixture.RUN), bytes(entries));

      assertThat(Recovery.run(store, CLOCK))
          .extracting(Recovered::action)
          .containsExactly(Action.ABORTED);

      RunRecord record = RecordDocument.read(store.recordFile(Fixture.RUN));
      boolean live = last == SafeToOpen.NO;
      assertThat(record.safeToOpen()).isEqualTo(live ? SafeToOpen.UNKNOWN : last);
      assertThat(record.events()).hasSize(live ? 6 : 4);
      assertThat(record.events().get(record.events().size() - 1).sequence())
          .isEqualTo(record.events().size() - 1);
      assertThat(record.notices().stream().filter(Recovery.TREAT_AS_LIVE::equals))
          .hasSize(live ? 1 : 0);
      assertThat(Recovery.run(store, CLOCK)).as("a second time").isEmpty();
      Files.delete(store.recordFile(Fixture.RUN));
      Files.delete(store.journalFile(Fixture.RUN));
    }
  }

  @Test
  void anEndedRunWithoutDocumentGetsIt() throws IOException {
    Files.write(file, bytes(ENTRIES));
    List<Recovered> done = Recovery.run(store, CLOCK);
    assertThat(done).extracting(Recovered::action).containsExactly(Action.RECORD_WRITTEN);
    assertThat(done.get(0))
        .hasToString(
            "run "
                + Fixture.RUN
                + ": its missing record written ("
                + store.recordFile(Fixture.RUN)
                + ")");
    assertThat(RecordDocument.read(store.recordFile(Fixture.RUN)).events()).isEqualTo(ENTRIES);
    assertThat(Files.readAllBytes(file)).isEqualTo(bytes(ENTRIES));
  }

  @Test
  void aRunThatIsAliveIsLeftAlone() throws IOException {
    try (Journal journal = store.begin(Fixture.RUN, CLOCK)) {
      journal.append(ENTRIES.get(0).event());
      assertThat(Recovery.run(store, CLOCK)).isEmpty();
      assertThat(Recovery.run(new RecordStore(folder), CLOCK)).isEmpty();
      journal.append(ENTRIES.get(1).event());
    }
    assertThat(Recovery.run(store, CLOCK))
        .extracting(Recovered::action)
        .containsExactly(Action.ABORTED);
    assertThat(store.fold(file).events()).hasSize(3);
  }

  @Test
  void whatANewerProgramWroteIsLeftAsItIsAndTheOthersAreDone() throws IOException {
    String newer =
        Files.readString(write(ENTRIES.subList(0, 2)))
            + EventCodec.write(ENTRIES.get(2)).replace("step-started", "step-paused")
            + "\n";
    Files.writeString(file, newer);
    Path other = store.journalFile("20991231T0-other");
    List<Entry> others = new ArrayList<>(new RandomEvents(1).run("20991231T0-other", 3));
    Files.write(other, bytes(others));
    List<Recovered> done = Recovery.run(store, CLOCK);
    assertThat(done)
        .extracting(Recovered::action)
        .containsExactly(Action.FAILED, Action.RECORD_WRITTEN);
    assertThat(done.get(0).detail()).contains("line 3").contains("step-paused");
    assertThat(file).hasContent(newer);
    assertThat(store.recordFile(Fixture.RUN)).doesNotExist();
  }

  @Test
  void damageInTheMiddleIsNotMendedByCutting() throws IOException {
    List<String> lines = new ArrayList<>(Files.readAllLines(write(ENTRIES)));
    lines.set(4, "{\"schema\":1,\"ru");
    Files.write(file, lines);
    byte[] before = Files.readAllBytes(file);
    assertThat(Recovery.run(store, CLOCK))
        .extracting(Recovered::action)
        .containsExactly(Action.FAILED);
    assertThat(Files.readAllBytes(file)).isEqualTo(before);
  }

  @Test
  void aRunEndsWithWhatFailedUntilThen() throws IOException {
    Files.write(file, bytes(ENTRIES.subList(0, 8)));
    Recovery.run(store, CLOCK);
    assertThat(store.fold(file).events().get(8).event())
        .isEqualTo(
            new Event.RunEnded(
                Verdict.ABORTED,
                Recovery.REASON,
                List.of("frequency response (mode triode, tap 8 ohm)")));
  }

  /** Around the end of each line, and in the middle of each. */
  private static List<Integer> cuts() {
    List<Integer> cuts = new ArrayList<>(List.of(0, 1));
    for (int lines = 1; lines < ENTRIES.size(); lines++) {
      int end = bytes(ENTRIES.subList(0, lines)).length;
      cuts.addAll(List.of(end - 1, end, end + 1, end + 40));
    }
    return cuts;
  }

  private Path write(List<Entry> entries) throws IOException {
    return Files.write(file, bytes(entries));
  }

  private static byte[] bytes(List<Entry> entries) {
    StringBuilder lines = new StringBuilder();
    entries.forEach(e -> lines.append(EventCodec.write(e)).append('\n'));
    return lines.toString().getBytes(StandardCharsets.UTF_8);
  }
}
