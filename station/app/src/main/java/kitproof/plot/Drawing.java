package kitproof.plot;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import kitproof.limit.Limit;
import kitproof.value.Curve;

/** Draws plots as one SVG document, one beneath another. */
public final class Drawing {
  private static final double WIDTH = 880;
  private static final double LEFT = 80;
  private static final double RIGHT = 24;
  private static final double TOP = 60;
  private static final double TALL = 330;
  private static final double FLAT = 215;
  private static final double BELOW = 58;
  private static final double ROW = 20;
  private static final double SAMPLE = 34;
  private static final double LETTER = 6.6;

  private static final String INK = "#1f2933";
  private static final String FAINT = "#c9ced6";
  private static final String FINE = "#e9ebef";

  /** Told apart by most colour-blind eyes; the dashes tell them apart without any colour. */
  private static final List<String> COLOURS =
      List.of("#0b5fa5", "#c4501b", "#0c8a6a", "#8e3a80", "#8a6d00", "#3b8fc7", "#444444");

  private static final List<String> DASHES = List.of("", "7 3", "2 3", "9 3 2 3", "14 4");

  private final Svg svg;
  private final double tall;

  private Drawing(Svg svg, double tall) {
    this.svg = svg;
    this.tall = tall;
  }

  /**
   * The document.
   *
   * @param plots at least one
   */
  public static String svg(List<Plot> plots) {
    return document(plots, "area", TALL);
  }

  /**
   * One plot as an element within a page, flatter, without a document's first line.
   *
   * @param id begins every id in it, so that plots on one page do not share any
   */
  public static String inline(Plot plot, String id) {
    return document(List.of(plot), id + "-area", FLAT).replaceFirst("^<\\?xml[^>]*>\\s*", "");
  }

  private static String document(List<Plot> plots, String id, double tall) {
    double height = 0;
    for (Plot plot : plots) {
      height += height(plot, tall);
    }
    Drawing drawing = new Drawing(new Svg(WIDTH, height), tall);
    drawing.svg.element("rect", "width", WIDTH, "height", height, "fill", "#ffffff");
    double y = 0;
    for (int i = 0; i < plots.size(); i++) {
      drawing.plot(plots.get(i), y, id + i);
      y += height(plots.get(i), tall);
    }
    return drawing.svg.close();
  }

  private static double height(Plot plot, double tall) {
    return TOP + tall + BELOW + ROW * rows(plot).size() + 10;
  }

  private void plot(Plot plot, double top, String clip) {
    Frame frame = Frame.around(plot);
    svg.begin(
        "g",
        "transform",
        "translate(0 " + Svg.number(top) + ")",
        "font-family",
        "Lato, Helvetica, Arial, sans-serif",
        "font-size",
        12,
        "fill",
        INK);
    svg.words(LEFT, 26, capital(plot.title()), "font-size", 17, "font-weight", "bold");
    svg.words(LEFT, 46, plot.subtitle());
    svg.begin("clipPath", "id", clip)
        .element("rect", "x", LEFT, "y", TOP, "width", width(), "height", tall)
        .end();
    svg.begin("g", "clip-path", "url(#" + clip + ")");
    Map<Limit.Mask, MaskStyle> masks = MaskStyle.of(plot);
    masks.forEach((mask, style) -> Band.of(mask).forEach(band -> fill(frame, band, style)));
    svg.end();
    grid(frame, plot.title());
    svg.begin("g", "clip-path", "url(#" + clip + ")", "fill", "none");
    masks.forEach((mask, style) -> Band.of(mask).forEach(band -> edges(frame, band, style)));
    for (int i = 0; i < plot.lines().size(); i++) {
      for (Curve guard : plot.lines().get(i).guards()) {
        guard(frame, guard, i);
      }
      curve(frame, plot.lines().get(i).curve(), i);
    }
    svg.end();
    svg.element(
        "rect", "x", LEFT, "y", TOP, "width", width(), "height", tall, "fill", "none", "stroke",
        INK);
    legend(plot);
    svg.end();
  }

  private void grid(Frame frame, String title) {
    for (Axis.Tick tick : frame.x().ticks()) {
      double x = x(frame, tick.value());
      rule(x, TOP, x, TOP + tall, tick);
      svg.words(x, TOP + tall + 18, tick.label(), "text-anchor", "middle");
    }
    for (Axis.Tick tick : frame.y().ticks()) {
      double y = y(frame, tick.value());
      rule(LEFT, y, LEFT + width(), y, tick);
      svg.words(LEFT - 8, y + 4, tick.label(), "text-anchor", "end");
    }
    svg.words(LEFT + width() / 2, TOP + tall + 38, Frame.title(frame.x()), "text-anchor", "middle");
    double middle = TOP + tall / 2;
    svg.words(
        18,
        middle,
        Frame.title(frame.y(), title),
        "text-anchor",
        "middle",
        "transform",
        "rotate(-90 18 " + Svg.number(middle) + ")");
  }

  private void rule(double x1, double y1, double x2, double y2, Axis.Tick tick) {
    svg.element(
        "line",
        "x1",
        x1,
        "y1",
        y1,
        "x2",
        x2,
        "y2",
        y2,
        "stroke",
        tick.label().isEmpty() ? FINE : FAINT);
  }

  /** What is good, so that it is plain what lies outside. */
  private void fill(Frame frame, Band band, MaskStyle style) {
    List<Band.Point> along = band.either();
    double from = along.get(0).x();
    double to = along.get(along.size() - 1).x();
    List<Band.Point> outline = new ArrayList<>();
    outline.addAll(
        band.high().isEmpty()
            ? List.of(new Band.Point(from, frame.y().high()), new Band.Point(to, frame.y().high()))
            : band.high());
    List<Band.Point> back =
        new ArrayList<>(
            band.low().isEmpty()
                ? List.of(
                    new Band.Point(from, frame.y().low()), new Band.Point(to, frame.y().low()))
                : band.low());
    Collections.reverse(back);
    outline.addAll(back);
    svg.element(
        "path",
        "d",
        path(frame, outline) + "Z",
        "fill",
        style.fill(),
        "fill-opacity",
        style.opacity());
  }

  private void edges(Frame frame, Band band, MaskStyle style) {
    for (List<Band.Point> side : List.of(band.low(), band.high())) {
      if (!side.isEmpty()) {
        svg.element(
            "path",
            "d",
            path(frame, side),
            "stroke",
            style.edge(),
            "stroke-width",
            1.5,
            "stroke-dasharray",
            style.dash());
      }
    }
  }

  private void curve(Frame frame, Curve curve, int index) {
    stroke(path(frame, points(curve)), index);
  }

  /** In the colour of its curve, thin and dotted: each curve has guard bands of its own. */
  private void guard(Frame frame, Curve edge, int index) {
    svg.element(
        "path",
        "class",
        "guard",
        "d",
        path(frame, points(edge)),
        "stroke",
        COLOURS.get(index % COLOURS.size()),
        "stroke-width",
        1.1,
        "stroke-dasharray",
        "1.5 2.5");
  }

  private static List<Band.Point> points(Curve curve) {
    List<Band.Point> points = new ArrayList<>();
    for (int i = 0; i < curve.size(); i++) {
      points.add(new Band.Point(curve.x(i), curve.y(i)));
    }
    return points;
  }

  private void stroke(String path, int index) {
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
        DASHES.get(index % DASHES.size()).isEmpty() ? "none" : DASHES.get(index % DASHES.size()));
  }

  private String path(Frame frame, List<Band.Point> points) {
    StringBuilder path = new StringBuilder();
    for (Band.Point point : points) {
      path.append(path.length() == 0 ? 'M' : 'L')
          .append(Svg.number(x(frame, point.x())))
          .append(' ')
          .append(Svg.number(y(frame, point.y())));
    }
    return path.toString();
  }

  private void legend(Plot plot) {
    List<MaskStyle> masks = List.copyOf(MaskStyle.of(plot).values());
    double y = TOP + tall + BELOW;
    int index = 0;
    for (List<String> row : rows(plot)) {
      double x = LEFT;
      for (String label : row) {
        double middle = y - 4;
        if (index < plot.lines().size()) {
          stroke(
              "M" + Svg.number(x) + " " + Svg.number(middle) + "h" + Svg.number(SAMPLE - 8), index);
        } else if (index - plot.lines().size() == masks.size()) {
          svg.element(
              "path",
              "d",
              "M" + Svg.number(x) + " " + Svg.number(middle) + "h" + Svg.number(SAMPLE - 8),
              "stroke",
              INK,
              "stroke-width",
              1.1,
              "stroke-dasharray",
              "1.5 2.5");
        } else {
          MaskStyle style = masks.get(index - plot.lines().size());
          svg.element(
              "rect",
              "x",
              x,
              "y",
              middle - 6,
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
        svg.words(x + SAMPLE, y, label);
        x += column(labels(plot));
        index++;
      }
      y += ROW;
    }
  }

  /** The labels in rows of as many columns as fit the width. */
  private static List<List<String>> rows(Plot plot) {
    List<String> labels = labels(plot);
    int columns = Math.max(1, (int) (width() / column(labels)));
    List<List<String>> rows = new ArrayList<>();
    for (int from = 0; from < labels.size(); from += columns) {
      rows.add(labels.subList(from, Math.min(from + columns, labels.size())));
    }
    return rows;
  }

  private static List<String> labels(Plot plot) {
    List<String> labels = new ArrayList<>();
    plot.lines().forEach(line -> labels.add(line.label().isEmpty() ? "measured" : line.label()));
    MaskStyle.of(plot).values().forEach(style -> labels.add(style.label()));
    if (plot.lines().stream().anyMatch(line -> !line.guards().isEmpty())) {
      labels.add("where the guard band ends");
    }
    return labels.equals(List.of("measured")) ? List.of() : labels;
  }

  private static double column(List<String> labels) {
    return labels.stream().mapToDouble(Drawing::entry).max().orElse(1);
  }

  private static double entry(String label) {
    return SAMPLE + LETTER * label.length() + 16;
  }

  private static double width() {
    return WIDTH - LEFT - RIGHT;
  }

  private static double x(Frame frame, double value) {
    return LEFT + width() * frame.x().position(frame.x().within(value));
  }

  private double y(Frame frame, double value) {
    return TOP + tall * (1 - frame.y().position(frame.y().within(value)));
  }

  /** "THD+N against power": what the trade abbreviates is written as the trade does. */
  static String capital(String words) {
    String title = words.replaceAll("\\bthd\\+n\\b", "THD+N").replaceAll("\\bthd\\b", "THD");
    return title.substring(0, 1).toUpperCase(Locale.ROOT) + title.substring(1);
  }
}
