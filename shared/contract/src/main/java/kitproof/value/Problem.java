package kitproof.value;

import java.util.Collection;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * Something wrong in what a user wrote, told so that it can be put right.
 *
 * @param location where
 * @param found what stands there, a phrase
 * @param expected what should, a phrase
 * @param nearest the nearest valid name, or null if none is near
 */
public record Problem(Location location, String found, String expected, @Nullable String nearest) {
  private static final int MOST_NAMES = 24;

  public static Problem of(Location location, String found, String expected) {
    return new Problem(location, found, expected, null);
  }

  /** An unknown name where one of some names is expected. */
  public static Problem unknownName(
      Location location, String what, String found, Collection<String> valid) {
    String expected = valid.isEmpty() ? "none: there are none here" : "one of " + some(valid);
    return new Problem(
        location, what + " \"" + found + "\"", expected, Nearest.to(found, valid).orElse(null));
  }

  /** All of a few names; of many the first ones and how many more. */
  private static String some(Collection<String> names) {
    String first = names.stream().limit(MOST_NAMES).collect(Collectors.joining(", "));
    int more = names.size() - MOST_NAMES;
    return more > 0 ? first + " and " + more + " more" : first;
  }

  /** "plan.yaml:12:7: found …; expected …; did you mean …?" */
  @Override
  public String toString() {
    String hint = nearest == null ? "" : "; did you mean \"" + nearest + "\"?";
    return location + ": found " + found + "; expected " + expected + hint;
  }
}
