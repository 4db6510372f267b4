package kitproof.journal;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import kitproof.event.Event;
import kitproof.event.Verdict;

/** Small runs, kept as the station keeps them. */
public final class KeptRuns {
  private KeptRuns() {}

  /** The fixture's run under other names; returns its document. */
  public static Path keep(RecordStore store, String run, String station, String unit)
      throws IOException {
    return keep(store, run, station, unit, Instant.parse("2026-11-25T10:15:00Z"), Verdict.FAIL);
  }

  /** The fixture's run under other names, all at one time, with another end. */
  public static Path keep(
      RecordStore store, String run, String station, String unit, Instant time, Verdict verdict)
      throws IOException {
    try (Journal journal = store.begin(run, () -> time)) {
      for (Event event : Fixture.events()) {
        if (event instanceof Event.RunStarted s) {
          journal.append(
              new Event.RunStarted(
                  run,
                  s.shop(),
                  station,
                  unit,
                  s.batch(),
                  s.product(),
                  s.revision(),
                  s.plan(),
                  s.digests(),
                  s.steps()));
        } else if (event instanceof Event.RunEnded e) {
          journal.append(new Event.RunEnded(verdict, e.reason(), e.failed()));
        } else {
          journal.append(event);
        }
      }
      return RecordDocument.write(store, journal.file());
    }
  }
}
