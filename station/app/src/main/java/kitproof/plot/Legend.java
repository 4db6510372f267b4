package kitproof.plot;

import java.util.ArrayList;
import java.util.List;

/** Which curve is which, and which mask, beneath a plot. */
final class Legend {
  private static final double ROW = 20;
  private static final double SAMPLE = 34;

  private final Plot plot;
  private final double wide;

  /** {@code wide} is the drawing's width in user units. */
  Legend(Plot plot, double wide) {
    this.plot = plot;
    this.wide = wide;
  }

  /** In user units. */
  double height() {
    return rows().stream().mapToDouble(Legend::tall).sum();
  }

  /** Draws it. {@code top} is the baseline of its first row. */
  void draw(Svg svg, double top) {
    List<MaskStyle> masks = List.copyOf(MaskStyle.of(plot).values());
    double y = top;
    int index = 0;
    for (List<List<String>> row : rows()) {
      double x = Drawing.LEFT;
      for (List<String> label : row) {
        if (index < plot.lines().size()) {
          Pens.stroke(
              svg,
              "M" + Svg.number(x) + " " + Svg.number(y - 4) + "h" + Svg.number(SAMPLE - 8),
              index);
        } else if (index - plot.lines().size() == masks.size()) {
          Pens.guard(
              svg,
              "M" + Svg.number(x) + " " + Svg.number(y - 4) + "h" + Svg.number(SAMPLE - 8),
              Drawing.INK);
        } else {
          sample(svg, masks.get(index - plot.lines().size()), x, y - 10);
        }
        for (int i = 0; i < label.size(); i++) {
          svg.words(x + SAMPLE, y + Lines.HEIGHT * i, label.get(i));
        }
        x += column(labels());
        index++;
      }
      y += tall(row);
    }
  }

  private static void sample(Svg svg, MaskStyle style, double x, double y) {
    svg.element(
        "rect",
        "x",
        x,
        "y",
        y,
        "width",
        SAMPLE - 8,
        "height",
        12,
        "fill",
        style.fill(),
        "stroke",
        style.edge(),
        "stroke-dasharray",
        style.dash());
  }

  private static double tall(List<List<String>> row) {
    return ROW + Lines.HEIGHT * (row.stream().mapToInt(List::size).max().orElse(1) - 1);
  }

  /** The labels in rows of as many columns as fit the width, each in as many lines as it needs. */
  private List<List<List<String>>> rows() {
    List<String> labels = labels();
    double width = wide - Drawing.LEFT - Drawing.RIGHT;
    int columns = Math.max(1, (int) (width / column(labels)));
    List<List<List<String>>> rows = new ArrayList<>();
    for (int from = 0; from < labels.size(); from += columns) {
      rows.add(
          labels.subList(from, Math.min(from + columns, labels.size())).stream()
              .map(label -> Lines.of(label, width - SAMPLE))
              .toList());
    }
    return rows;
  }

  private List<String> labels() {
    List<String> labels = new ArrayList<>();
    plot.lines().forEach(line -> labels.add(line.label().isEmpty() ? "measured" : line.label()));
    MaskStyle.of(plot).values().forEach(style -> labels.add(style.label()));
    if (plot.lines().stream().anyMatch(line -> !line.guards().isEmpty())) {
      labels.add("where the guard band ends");
    }
    return labels.equals(List.of("measured")) ? List.of() : labels;
  }

  private static double column(List<String> labels) {
    return labels.stream().mapToDouble(Legend::entry).max().orElse(1);
  }

  private static double entry(String label) {
    return SAMPLE + Lines.LETTER * label.length() + 16;
  }
}
