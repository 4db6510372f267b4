package kitproof.batch;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import kitproof.event.Verdict;
import kitproof.journal.Durable;
import kitproof.journal.EventCodec;
import kitproof.journal.SafeName;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import org.jspecify.annotations.Nullable;

/**
 * New judgements kept beside a record, in {@code records/rejudged/RUN.DIGEST.json}: the record is
 * not touched, and neither are older judgements.
 *
 * @param schema of this document
 * @param limits name of the limit file's set
 * @param digest of the limit file, "sha256:…"
 * @param judged when
 * @param before the run's verdict
 * @param after the verdict under these limits, or null if it is open
 * @param why it is open; else empty
 */
record RejudgedDocument(
    int schema,
    String run,
    String unit,
    String batch,
    String limits,
    String digest,
    Instant judged,
    @Nullable Verdict before,
    @Nullable Verdict after,
    String why,
    List<Row> results) {
  private static final int SCHEMA = 1;
  private static final int DIGITS = 12;
  private static final String PLAIN =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-";

  RejudgedDocument {
    results = List.copyOf(results);
  }

  /** A result with both judgements. */
  record Row(String result, Conditions conditions, Judgement before, Judgement after) {}

  static Optional<Path> write(
      Rejudgement one, Path records, String limits, String digest, Instant judged)
      throws IOException {
    RejudgedDocument document =
        new RejudgedDocument(
            SCHEMA,
            one.run().run(),
            one.run().unit(),
            one.run().batch(),
            limits,
            digest,
            judged,
            one.run().verdict(),
            one.after(),
            one.why(),
            one.results().stream()
                .map(
                    r ->
                        new Row(
                            r.measurement().name(),
                            r.measurement().conditions(),
                            r.before(),
                            r.after()))
                .toList());
    Path folder = records.resolve("rejudged");
    Files.createDirectories(folder);
    String name =
        SafeName.of(one.run().run(), c -> PLAIN.indexOf(c) >= 0)
            + "."
            + digest.replaceFirst("^.*:", "").substring(0, DIGITS);
    Path file = folder.resolve(name + ".json");
    String text = EventCodec.text(EventCodec.tree(document), true) + "\n";
    // false: judged by these very limits before
    return Durable.create(file, text) ? Optional.of(file) : Optional.empty();
  }
}
