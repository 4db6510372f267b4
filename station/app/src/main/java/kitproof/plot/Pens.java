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
        COLOURS.get(index % COLOURS.size()),
        "stroke-width",
        1.8,
        "stroke-linejoin",
        "round",
        "stroke-dasharray",
        dashes.isEmpty() ? "none" : dashes);
  }
}
