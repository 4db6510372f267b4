package kitproof.gauge;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import kitproof.journal.Durable;
import kitproof.journal.EventCodec;
import kitproof.journal.SafeName;

/**
 * Where a study is kept: a folder of records of its own inside the station's, so that none of its
 * runs is taken for an attempt of a unit, counted in a yield, indexed or published.
 *
 * <pre>
 * records/gauge/NAME/RUN.json            the records of its trials, as those of all runs
 * records/gauge/NAME/study/order.json    units, appraisers, seed and the order of all trials
 * records/gauge/NAME/study/key.csv       of a blind study: which label is which unit
 * </pre>
 */
public record StudyFolder(Path records, String name) {
  private static final String ORDER = "order.json";

  /** The folder of its records, which may not be there yet. */
  public Path folder() {
    return records.resolve("gauge").resolve(SafeName.ofFile(name));
  }

  /** Which label is which unit. */
  public Path key() {
    return folder().resolve("study").resolve("key.csv");
  }

  private Path order() {
    return folder().resolve("study").resolve(ORDER);
  }

  /**
   * The study that was drawn here, if there is one.
   *
   * @throws IOException if it is there and cannot be read; the message names the file
   */
  public Optional<Study> study() throws IOException {
    if (!Files.exists(order())) {
      return Optional.empty();
    }
    try {
      return Optional.of(EventCodec.parse(Files.readString(order()), Study.class));
    } catch (JsonProcessingException e) {
      throw new IOException(order() + ": " + e.getOriginalMessage(), e);
    }
  }

  /** Keeps a study, before its first trial; durable when this returns. */
  public void keep(Study study) throws IOException {
    Files.createDirectories(folder().resolve("study"));
    if (study.blind()) {
      StringBuilder key = new StringBuilder("label,unit\n");
      study.labels().entrySet().stream()
          .sorted(
              Map.Entry.comparingByValue(
                  Comparator.comparing(String::length).thenComparing(Comparator.naturalOrder())))
          .forEach(e -> key.append(e.getValue()).append(',').append(quoted(e.getKey())));
      Durable.replace(key(), key.toString(), true);
    }
    Durable.replace(order(), EventCodec.text(study, true) + "\n", true);
  }

  private static String quoted(String text) {
    return "\"" + text.replace("\"", "\"\"") + "\"\n";
  }

  /** The folders of all studies in a folder of records, each a folder of records itself. */
  public static List<Path> folders(Path records) throws IOException {
    Path all = records.resolve("gauge");
    if (!Files.isDirectory(all)) {
      return List.of();
    }
    try (Stream<Path> folders = Files.list(all)) {
      return folders.filter(Files::isDirectory).sorted().toList();
    }
  }

  /** The names of the studies in a folder of records, as their folders spell them. */
  public static List<String> names(Path records) throws IOException {
    return folders(records).stream()
        .filter(folder -> Files.exists(folder.resolve("study").resolve(ORDER)))
        .map(folder -> String.valueOf(folder.getFileName()))
        .toList();
  }
}
