package kitproof.peers;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Measurement;

/** The record of a unit that passed, of which it is known what it measured. */
final class ReferenceRecord {
  private ReferenceRecord() {}

  /** Writes it into a folder of its own. */
  static Path write(Path records, String unit, Measurement... results) throws IOException {
    String run = "20261125T101500.123Z-" + unit;
    RecordStore store = new RecordStore(records);
    try (Journal journal = store.begin(run, () -> Instant.EPOCH)) {
      journal.append(
          new Event.RunStarted(
              run,
              "attic",
              "bench-7",
              unit,
              "",
              "Linnet 12",
              "B",
              "peers",
              Map.of(),
              List.of(new Event.PlannedStep("all", Conditions.NONE, Duration.ZERO))));
      journal.append(new Event.StepStarted(0, "all", "reading", Conditions.NONE));
      for (Measurement result : results) {
        journal.append(
            new Event.ResultJudged(
                0, result, new Judgement(Judgement.Outcome.NOT_JUDGED, null, "there is no limit")));
      }
      journal.append(
          new Event.StepFinished(0, "all", Conditions.NONE, StepOutcome.PASSED, "", Duration.ZERO));
      journal.append(new Event.RunEnded(Verdict.PASS, "", List.of()));
      return RecordDocument.write(store, journal.file());
    }
  }
}
