package kitproof.limit;

import java.util.ArrayList;
import java.util.List;
import kitproof.value.Conditions;
import kitproof.value.Problem;

/**
 * Finds limits between which no result could choose.
 *
 * <p>The entry with most conditions wins. Two with equally many can meet in one result if none of
 * their conditions contradict each other; that is a problem unless a third entry, with more
 * conditions, takes every such result.
 */
final class Ambiguity {
  private Ambiguity() {}

  static List<Problem> problems(List<LimitEntry> entries) {
    List<Problem> found = new ArrayList<>();
    for (int later = 1; later < entries.size(); later++) {
      for (int earlier = 0; earlier < later; earlier++) {
        LimitEntry a = entries.get(earlier);
        LimitEntry b = entries.get(later);
        if (a.result().equals(b.result()) && collide(a.when(), b.when(), a.result(), entries)) {
          found.add(problem(a, b));
          break; // one is enough to look at it
        }
      }
    }
    return found;
  }

  private static boolean collide(
      Conditions a, Conditions b, String result, List<LimitEntry> entries) {
    if (a.values().size() != b.values().size() || a.contradicts(b)) {
      return false;
    }
    Conditions both = a.and(b);
    return entries.stream()
        .noneMatch(e -> e.appliesTo(result, both) && e.when().values().size() > a.values().size());
  }

  private static Problem problem(LimitEntry a, LimitEntry b) {
    if (a.when().equals(b.when())) {
      return Problem.of(
          b.location(),
          "a second limit for " + b.title() + ", first at line " + a.location().line(),
          "one limit for the same result under the same conditions");
    }
    return Problem.of(
        b.location(),
        "a limit for "
            + b.title()
            + " that meets the one for "
            + a.title()
            + " of line "
            + a.location().line(),
        "another limit for " + a.when().and(b.when()) + ", or conditions that never hold together");
  }
}
