package kitproof.plot;

import java.util.ArrayList;
import java.util.List;

/** Breaks words that are wider than their place. */
final class Lines {
  /** From one line to the next, in user units. */
  static final double HEIGHT = 15;

  /** A letter of our text as wide as a broad one, in user units. */
  static final double LETTER = 6.6;

  private Lines() {}

  /**
   * In as many lines as it needs, never none; broken at a comma or a blank if there is one.
   *
   * @param width in user units
   */
  static List<String> of(String words, double width) {
    int most = (int) (width / LETTER);
    List<String> lines = new ArrayList<>();
    String rest = words;
    while (rest.length() > most) {
      int comma = rest.lastIndexOf(", ", most - 1) + 1;
      int at = comma > 0 ? comma : Math.max(0, rest.lastIndexOf(' ', most));
      at = at > 0 ? at : most;
      lines.add(rest.substring(0, at));
      rest = rest.substring(at).trim();
    }
    lines.add(rest);
    return lines;
  }
}
