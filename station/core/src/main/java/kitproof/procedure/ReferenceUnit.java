package kitproof.procedure;

import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.value.Conditions;
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
  /** How a plan names the unit that whoever starts the run chooses. */
  public static final String NAMED = "reference";

  /** The condition by which results of such comparisons name it as the plan does. */
  public static final String CONDITION = "against unit";

  private static final String LESS = "less that of ";

  /** How a difference's note begins, or goes on where the bench is told of first. */
  private static final Pattern NOTED =
      Pattern.compile("(?:^|; )" + LESS + "(.+?), attempt \\d+ \\(run ");

  public ReferenceUnit {
    results = List.copyOf(results);
  }

  /** What the note of a difference from it begins with. */
  String less() {
    return LESS + title();
  }

  /**
   * Which unit whoever started the run had chosen, as the note of a difference from it tells.
   *
   * @return its serial number; empty of a result that is no difference from such a unit
   */
  public static String chosen(Measurement result) {
    return chosen(result.conditions(), result.note());
  }

  private static String chosen(Conditions conditions, String note) {
    if (!NAMED.equals(conditions.values().get(CONDITION))) {
      return "";
    }
    Matcher noted = NOTED.matcher(note);
    return noted.find() ? noted.group(1) : "";
  }

  /** The same conditions, which name the unit that was chosen. */
  public static Conditions apart(Conditions conditions, String chosen) {
    return conditions.with(CONDITION, NAMED + " " + chosen);
  }

  /** A result's conditions, with the unit that was chosen if it is a difference from one. */
  public static Conditions told(Measurement result) {
    return told(result.conditions(), result.note());
  }

  /** The same of a result with this note. */
  public static Conditions told(Conditions conditions, String note) {
    String chosen = chosen(conditions, note);
    return chosen.isEmpty() ? conditions : apart(conditions, chosen);
  }

  /** Whether they name the unit that was chosen. */
  public static boolean isApart(Conditions conditions) {
    return conditions.values().getOrDefault(CONDITION, "").startsWith(NAMED + " ");
  }

  /** "LN12-001, attempt 2 (run 20261125T101500.123Z-LN12-001)". */
  public String title() {
    return unit + ", attempt " + attempt + " (run " + run + ")";
  }
}
