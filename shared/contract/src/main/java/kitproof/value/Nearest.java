package kitproof.value;

import java.util.Collection;
import java.util.Comparator;
import java.util.Locale;
import java.util.Optional;

/** Finds the valid name that a mistyped one was probably meant to be. */
public final class Nearest {
  private Nearest() {}

  /** The valid name with the fewest edits, if no more than a third of its letters differ. */
  public static Optional<String> to(String typed, Collection<String> valid) {
    String wanted = typed.toLowerCase(Locale.ROOT);
    return valid.stream()
        .map(name -> new Candidate(name, edits(wanted, name.toLowerCase(Locale.ROOT))))
        .filter(c -> c.edits <= Math.max(1, (Math.max(c.name.length(), wanted.length()) + 2) / 3))
        .min(Comparator.comparingInt(Candidate::edits).thenComparing(Candidate::name))
        .map(Candidate::name);
  }

  /** Levenshtein distance with transposed neighbours counted once (optimal string alignment). */
  static int edits(String a, String b) {
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      for (int j = 0; j <= b.length(); j++) {
        if (i == 0 || j == 0) {
          d[i][j] = i + j;
          continue;
        }
        int change = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
        d[i][j] = Math.min(Math.min(d[i - 1][j] + 1, d[i][j - 1] + 1), d[i - 1][j - 1] + change);
        if (i > 1
            && j > 1
            && a.charAt(i - 1) == b.charAt(j - 2)
            && a.charAt(i - 2) == b.charAt(j - 1)) {
          d[i][j] = Math.min(d[i][j], d[i - 2][j - 2] + 1);
        }
      }
    }
    return d[a.length()][b.length()];
  }

  private record Candidate(String name, int edits) {}
}
