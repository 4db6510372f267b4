package kitproof.value;

import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * How results name the other unit that they are the difference from: by a condition as the plan
 * does, and by their note where whoever started the run has chosen it.
 */
public final class AgainstUnit {
  /** How a plan names the unit that whoever starts the run chooses. */
  public static final String NAMED = "reference";

  /** The condition by which results of such comparisons name it as the plan does. */
  public static final String CONDITION = "against unit";

  private static final String LESS = "less that of ";

  /** How a difference's note begins, or goes on where the bench is told of first. */
  private static final Pattern NOTED =
      Pattern.compile("(?:^|; )" + LESS + "(.+?), attempt \\d+ \\(run ");

  private AgainstUnit() {}

  /**
   * What the note of a difference begins with.
   *
   * @param title of the other unit: "LN12-001, attempt 2 (run …)"
   */
  public static String less(String title) {
    return LESS + title;
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
}
