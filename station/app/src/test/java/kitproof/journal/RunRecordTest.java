package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RunRecordTest {
  private static final List<Entry> ENTRIES = Fixture.entries();
  @TempDir Path folder;

  @Test
  void everythingInTheEventsIsInTheRecord() {
    RunRecord record = RunRecord.of(ENTRIES);
    assertThat(record.run()).isEqualTo(Fixture.RUN);
    assertThat(record.shop()).isEqualTo("attic");
    assertThat(record.station()).isEqualTo("bench-1");
    assertThat(record.unit()).isEqualTo("LN12-001");
    assertThat(record.batch()).isEqualTo("first twelve");
    assertThat(record.product()).isEqualTo("linnet-12");
    assertThat(record.revision()).isEqualTo("b");
    assertThat(record.digests()).containsEntry("limits", "sha256:03").hasSize(3);
    assertThat(record.instruments()).containsEntry("loads", "relays").hasSize(2);
    assertThat(record.notices()).containsExactly("HV rail unknown: treat as live");
    assertThat(record.safeStates()).containsExactly(new Event.SafeState("end of run", true, ""));
    assertThat(record.verdict()).isEqualTo(Verdict.FAIL);
    assertThat(record.reason()).isEqualTo("1 result failed");
    assertThat(record.failed()).containsExactly("frequency response (mode triode, tap 8 ohm)");
    assertThat(record.started()).isEqualTo(Instant.parse("2026-11-25T10:15:00.123Z"));
    assertThat(record.ended()).isEqualTo(Instant.parse("2026-11-25T10:15:11.123Z"));
    assertThat(record.events()).isEqualTo(ENTRIES);
    RunRecord.Step rail = record.steps().get(0);
    assertThat(rail.procedure()).isEqualTo("reading");
    assertThat(rail.outcome()).isEqualTo(StepOutcome.PASSED);
    assertThat(rail.took()).isEqualTo(Duration.ofMillis(1250));
    assertThat(rail.conditions()).isEqualTo(Conditions.NONE);
    assertThat(rail.results())
        .extracting(r -> r.measurement().name())
        .containsExactly("hv", "hv ripple");
    assertThat(record.steps().get(1).results())
        .singleElement()
        .isEqualTo(
            new RunRecord.Result(
                ((Event.ResultJudged) ENTRIES.get(7).event()).measurement(),
                ((Event.ResultJudged) ENTRIES.get(7).event()).judgement()));
  }

  @Test
  void aRunThatGoesOnHasNoVerdictAndItsStepsToCome() {
    RunRecord record = RunRecord.of(ENTRIES.subList(0, 8));
    assertThat(record.verdict()).isNull();
    assertThat(record.ended()).isNull();
    assertThat(record.failed()).containsExactly("frequency response (mode triode, tap 8 ohm)");
    assertThat(record.steps())
        .extracting(RunRecord.Step::outcome)
        .containsExactly(StepOutcome.PASSED, null);
    assertThat(RunRecord.of(ENTRIES.subList(0, 1)).steps())
        .extracting(RunRecord.Step::step)
        .containsExactly("rail", "response");
  }

  /** As the run itself would have told it at its end. */
  @Test
  void aResultInTheGuardBandCountsAsFailedInARunThatWasCutShort() {
    List<Entry> entries = new ArrayList<>(ENTRIES.subList(0, 8));
    Entry result =
        entries.stream()
            .filter(e -> e.event() instanceof Event.ResultJudged)
            .findFirst()
            .orElseThrow();
    Event.ResultJudged old = (Event.ResultJudged) result.event();
    entries.set(
        entries.indexOf(result),
        new Entry(
            result.run(),
            result.sequence(),
            result.time(),
            new Event.ResultJudged(
                old.index(),
                old.measurement(),
                new Judgement(Judgement.Outcome.GUARD_BAND, null, "near"))));
    assertThat(RunRecord.of(entries).failed()).contains(old.measurement().title());
  }

  @Test
  void whatDoesNotBeginWithAStartIsNoRun() {
    assertThatThrownBy(() -> RunRecord.of(List.of())).isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> RunRecord.of(ENTRIES.subList(1, 4)))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void theDocumentReadsBackAsTheSameRecord() throws IOException {
    RecordStore store = new RecordStore(folder);
    for (long seed = 1; seed <= 5; seed++) {
      String run = "20260101T0-" + seed;
      List<Entry> entries = new RandomEvents(seed).run(run, 50);
      try (Journal journal = store.begin(run, () -> Instant.EPOCH)) {
        for (Entry entry : entries) {
          journal.append(entry.event());
        }
        Path document = RecordDocument.write(store, journal.file());
        assertThat(document).isEqualTo(store.recordFile(run));
        assertThat(RecordDocument.read(document))
            .as("seed %d", seed)
            .isEqualTo(store.fold(journal.file()));
      }
    }
    try (var files = Files.list(folder)) {
      assertThat(files.map(f -> f.getFileName().toString()))
          .filteredOn(name -> name.endsWith(".json") || name.endsWith(".part"))
          .hasSize(5);
    }
  }

  @Test
  void aRunThatGoesOnGetsNoDocument() throws IOException {
    RecordStore store = new RecordStore(folder);
    try (Journal journal = store.begin(Fixture.RUN, () -> Instant.EPOCH)) {
      journal.append(ENTRIES.get(0).event());
      assertThatThrownBy(() -> RecordDocument.write(store, journal.file()))
          .hasMessageContaining("has not ended");
    }
    assertThat(store.recordFile(Fixture.RUN)).doesNotExist();
  }
}
