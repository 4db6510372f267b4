package kitproof.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.procedure.ReferenceUnit;
import kitproof.value.Measurement;

/** Records of other units, as steps compare with them. */
public final class ReferenceRecords {
  private ReferenceRecords() {}

  /**
   * The last record of a unit that it passed; empty if there is none.
   *
   * @param product of which it must be
   * @param calibration digest of the calibration of the run that compares; empty if it has none
   * @throws IOException if a record of the unit cannot be read
   */
  public static Optional<ReferenceUnit> passed(
      Path records, String product, String unit, String calibration) throws IOException {
    Optional<History.Attempt> last = History.passed(History.of(records, product, unit));
    return last.isEmpty()
        ? Optional.empty()
        : Optional.of(
            of(records.resolve(SafeName.ofFile(last.get().run()) + ".json"), calibration));
  }

  /**
   * A record in a file, whatever its verdict.
   *
   * @param calibration as above
   * @throws IOException if it cannot be read; the message names the file
   */
  public static ReferenceUnit of(Path document, String calibration) throws IOException {
    RunRecord record = RecordDocument.read(document);
    List<Measurement> results = new ArrayList<>();
    record
        .steps()
        .forEach(step -> step.results().forEach(result -> results.add(result.measurement())));
    String own = record.digests().getOrDefault("calibration", "");
    return new ReferenceUnit(
        record.unit(),
        record.product(),
        record.revision(),
        record.run(),
        record.attempt(),
        Digests.of(document),
        !own.isEmpty() && own.equals(calibration),
        results);
  }

  /** Whether this names a file rather than a unit. */
  public static boolean isDocument(String named) {
    return named.endsWith(".json") && Files.isRegularFile(Path.of(named));
  }
}
