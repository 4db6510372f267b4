package kitproof.procedure;

import java.util.List;
import kitproof.value.AgainstUnit;
import kitproof.value.Measurement;

/**
 * Another unit's record, as far as results are compared with it.
 *
 * @param unit its serial number
 * @param product what it is an example of
 * @param revision of the product
 * @param run the run that is compared with
 * @param attempt which attempt at that unit it was
 * @param digest of the record's document, "sha256:…"
 * @param sameCalibration whether it was corrected by the calibration that the run of now is
 *     corrected by
 * @param results what that run measured
 */
public record ReferenceUnit(
    String unit,
    String product,
    String revision,
    String run,
    int attempt,
    String digest,
    boolean sameCalibration,
    List<Measurement> results) {
  public ReferenceUnit {
    results = List.copyOf(results);
  }

  /** What the note of a difference from it begins with. */
  String less() {
    return AgainstUnit.less(title());
  }

  /** "LN12-001, attempt 2 (run 20261125T101500.123Z-LN12-001)". */
  public String title() {
    return unit + ", attempt " + attempt + " (run " + run + ")";
  }
}
