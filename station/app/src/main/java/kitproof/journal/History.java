package kitproof.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import java.util.stream.Stream;
import kitproof.event.Verdict;

/** What the records of a folder know of one unit, oldest attempt first. */
public final class History {
  /** The time at the beginning of a run's name, and the hyphen before its unit. */
  private static final int TIME = "20261125T101500.123Z-".length();

  private static final String RECORD = ".json";

  private History() {}

  /**
   * An earlier run of a unit that did not end in error; see {@link Verdict#isAttempt}.
   *
   * @param run its name
   * @param verdict how it ended
   */
  public record Attempt(String run, Verdict verdict) {}

  /**
   * Every attempt at this unit whose record is in the folder, interrupted ones among them.
   *
   * @throws IOException if a record of it cannot be read
   */
  public static List<Attempt> of(Path records, String product, String unit) throws IOException {
    List<Attempt> attempts = new ArrayList<>();
    for (Path file : files(records)) {
      if (!unitOf(file).equals(SafeName.ofFile("x" + unit).substring(1))) {
        continue;
      }
      RunRecord record = RecordDocument.read(file);
      Verdict verdict = record.verdict();
      if (verdict != null
          && verdict.isAttempt()
          && record.unit().equals(unit)
          && record.product().equals(product)) {
        attempts.add(new Attempt(record.run(), verdict));
      }
    }
    return attempts;
  }

  /** The latest attempt that passed. */
  public static Optional<Attempt> passed(List<Attempt> attempts) {
    return attempts.stream()
        .filter(attempt -> attempt.verdict() == Verdict.PASS)
        .reduce((first, second) -> second);
  }

  /** The units that have records in the folder, as file names spell them. */
  public static List<String> units(Path records) throws IOException {
    TreeSet<String> units = new TreeSet<>();
    files(records).forEach(file -> units.add(unitOf(file)));
    return List.copyOf(units);
  }

  private static List<Path> files(Path records) throws IOException {
    if (!Files.isDirectory(records)) {
      return List.of();
    }
    try (Stream<Path> files = Files.list(records)) {
      return files
          .filter(file -> file.getFileName().toString().endsWith(RECORD))
          .filter(file -> file.getFileName().toString().length() > TIME + RECORD.length())
          .sorted()
          .toList();
    }
  }

  private static String unitOf(Path file) {
    String name = file.getFileName().toString();
    return name.substring(TIME, name.length() - RECORD.length());
  }
}
