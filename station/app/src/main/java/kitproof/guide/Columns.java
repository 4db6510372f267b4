package kitproof.guide;

import java.util.ArrayList;
import java.util.List;

/** Breaks text into lines of so many columns of a typeface whose letters are equally wide. */
final class Columns {
  /** Where East Asian scripts and pictures begin, whose signs are up to two columns wide. */
  private static final int WIDE = 0x1100;

  private Columns() {}

  /** At spaces where it can be, else within a word; no lines for no text. */
  static List<String> of(String text, int columns) {
    List<String> lines = new ArrayList<>();
    StringBuilder line = new StringBuilder();
    for (String word : text.strip().split("\\s+")) {
      if (!line.isEmpty() && width(line) + 1 + width(word) > columns) {
        lines.add(line.toString());
        line.setLength(0);
      }
      if (!line.isEmpty()) {
        line.append(' ');
      }
      for (int sign : word.codePoints().toArray()) {
        String next = Character.toString(sign);
        if (width(line) + width(next) > columns) {
          lines.add(line.toString());
          line.setLength(0);
        }
        line.append(next);
      }
    }
    if (!line.isEmpty()) {
      lines.add(line.toString());
    }
    return lines;
  }

  private static int width(CharSequence text) {
    return text.codePoints().map(c -> c < WIDE ? 1 : 2).sum();
  }
}
