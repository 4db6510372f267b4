package kitproof.batch;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
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
import kitproof.value.Figure;
import org.jspecify.annotations.Nullable;

/**
 * New judgements kept beside a record, in {@code records/rejudged}: the record is not touched, and
 * neither are older judgements.
 *
 * <p>The name says by what: {@code RUN.limits-DIGEST.json} if the figures are those of the record,
 * {@code RUN.limits-DIGEST.captures-plan-DIGEST-bench-DIGEST.json} if they were measured again. If
 * something else was found by the same files before, as by another version of the program, a number
 * is added: {@code ….2.json}.
 *
 * @param schema of this document
 * @param limits name of the limit file's set
 * @param digest of the limit file, "sha256:…"
 * @param measuredAgain how the figures were found, or null if they are those of the record
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
    @Nullable MeasuredAgain measuredAgain,
    Instant judged,
    @Nullable Verdict before,
    @Nullable Verdict after,
    String why,
    List<Row> results) {
  private static final int SCHEMA = 2;
  private static final int DIGITS = 12;
  private static final String PLAIN =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-";

  private static final ObjectMapper JSON = new ObjectMapper();

  RejudgedDocument {
    results = List.copyOf(results);
  }

  /**
   * A result with both judgements.
   *
   * @param figure that was judged, where it was measured again; else null, as the record has it
   */
  record Row(
      String result,
      Conditions conditions,
      @Nullable Figure figure,
      Judgement before,
      Judgement after) {}

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
            one.again(),
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
                            one.again() == null ? null : r.measurement().figure(),
                            r.before(),
                            r.after()))
                .toList());
    Path folder = records.resolve("rejudged");
    Files.createDirectories(folder);
    String name =
        SafeName.of(one.run().run(), c -> PLAIN.indexOf(c) >= 0) + ".limits-" + digits(digest);
    if (one.again() != null) {
      name +=
          ".captures-plan-" + digits(one.again().plan()) + "-bench-" + digits(one.again().bench());
    }
    ObjectNode tree = EventCodec.tree(document);
    String text = EventCodec.text(tree, true) + "\n";
    for (int number = 1; ; number++) {
      Path file = folder.resolve(name + (number == 1 ? "" : "." + number) + ".json");
      if (Durable.create(file, text)) {
        return Optional.of(file);
      }
      if (saysTheSame(file, tree)) {
        return Optional.empty();
      }
    }
  }

  private static String digits(String digest) {
    return digest.replaceFirst("^.*:", "").substring(0, DIGITS);
  }

  /** But for the time at which it was found. */
  private static boolean saysTheSame(Path file, ObjectNode document) throws IOException {
    return withoutTime(JSON.readTree(Files.readString(file)))
        .equals(withoutTime(JSON.readTree(EventCodec.text(document, false))));
  }

  private static JsonNode withoutTime(JsonNode document) {
    return document instanceof ObjectNode object ? object.deepCopy().without("judged") : document;
  }
}
