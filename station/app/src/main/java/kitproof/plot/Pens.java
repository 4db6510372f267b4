package kitproof.plot;

import java.util.List;

/** How one curve is told from another. */
final class Pens {
  /** Told apart by most colour-blind eyes; the dashes tell them apart without any colour. */
  private static final List<String> COLOURS =
      List.of("#0b5fa5", "#c4501b", "#0c8a6a", "#8e3a80", "#8a6d00", "#3b8fc7", "#444444");

  private static final List<String> DASHES = List.of("", "7 3", "2 3", "9 3 2 3", "14 4");

  private Pens() {}

  /** Draws a path as the curve of this index is drawn. */
  static void stroke(Svg svg, String path, int index) {
    String dashes = DASHES.get(index % DASHES.size());
    svg.element(
        "path",
        "d",
        path,
        "fill",
        "none",
        "stroke",
        colour(index),
        "stroke-width",
        1.8,
        "stroke-linejoin",
        "round",
        "stroke-dasharray",
        dashes.isEmpty() ? "none" : dashes);
  }

  /** The colour of the curve of this index. */
  static String colour(int index) {
    return COLOURS.get(index % COLOURS.size());
  }

  /** Draws where a guard band ends: thin and dotted. */
  static void guard(Svg svg, String path, String colour) {
    svg.element(
        "path",
        "class",
        "guard",
        "d",
        path,
        "stroke",
        colour,
        "stroke-width",
        1.1,
        "stroke-dasharray",
        "1.5 2.5");
  }
}
