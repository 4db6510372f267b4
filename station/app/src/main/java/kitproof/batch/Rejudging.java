package kitproof.batch;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.journal.RunRecord;
import kitproof.limit.LimitFile;
import org.jspecify.annotations.Nullable;

/**
 * Runs judged again by other limits.
 *
 * @param limits the other limits
 * @param judged every run they are for
 * @param others runs of other products or revisions, with the reason
 */
public record Rejudging(LimitFile limits, List<Rejudgement> judged, List<String> others) {
  public Rejudging {
    judged = List.copyOf(judged);
    others = List.copyOf(others);
  }

  /**
   * A run to be judged.
   *
   * @param again how its figures were found, or null if they are those of its record
   */
  public record Case(RunRecord run, @Nullable MeasuredAgain again) {}

  /** Judges what fits the limits. */
  public static Rejudging of(List<Case> runs, LimitFile limits) {
    List<Rejudgement> judged = new ArrayList<>();
    List<String> others = new ArrayList<>();
    for (Case one : runs) {
      try {
        judged.add(Rejudgement.of(one.run(), one.again(), limits));
      } catch (IllegalArgumentException e) {
        others.add(one.run().run() + ": " + e.getMessage());
      }
    }
    return new Rejudging(limits, judged, others);
  }

  /**
   * Keeps the new judgements beside the records, never over anything.
   *
   * @param records the folder of records
   * @param digest of the limit file, "sha256:…"
   * @param now calendar time
   * @return the new files; none for runs of which the same was found before
   * @throws IOException if one cannot be written
   */
  public List<Path> write(Path records, String digest, Instant now) throws IOException {
    List<Path> files = new ArrayList<>();
    for (Rejudgement one : judged) {
      Optional<Path> file = RejudgedDocument.write(one, records, limits.name(), digest, now);
      file.ifPresent(files::add);
    }
    return files;
  }
}
