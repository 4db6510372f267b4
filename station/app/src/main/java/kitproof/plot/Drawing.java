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
  private static final double WIDE = 880;

  /** Two beside one another on a sheet of paper, with letters that can be read there. */
  private static final double NARROW = 430;

  static final double LEFT = 68;
  static final double RIGHT = 16;
  private static final double TOP = 60;
  private static final double TALL = 330;
  private static final double FLAT = 200;
  private static final double BELOW = 58;

  static final String INK = "#1f2933";
  private static final String FAINT = "#c9ced6";
  private static final String FINE = "#e9ebef";

  private final Svg svg;
  private final double wide;
  private final double tall;

  private Drawing(Svg svg, double wide, double tall) {
    this.svg = svg;
    this.wide = wide;
    this.tall = tall;
  }

  /**
   * The document.
   *
   * @param plots at least one
   */
  public static String svg(List<Plot> plots) {
    return document(plots, "area", WIDE, TALL);
  }

  /**
   * One plot as an element within a page, half as wide, without a document's first line.
   *
   * @param id begins every id in it, so that plots on one page do not share any
   */
  public static String inline(Plot plot, String id) {
    return Svg.inline(document(List.of(plot), id + "-area", NARROW, FLAT));
  }

  private static String document(List<Plot> plots, String id, double wide, double tall) {
    double height = 0;
    for (Plot plot : plots) {
      height += height(plot, wide, tall);
    }
    Drawing drawing = new Drawing(new Svg(wide, height), wide, tall);
    drawing.svg.element("rect", "width", wide, "height", height, "fill", "#ffffff");
    double y = 0;
    for (int i = 0; i < plots.size(); i++) {
      drawing.plot(plots.get(i), y, id + i);
      y += height(plots.get(i), wide, tall);
    }
    return drawing.svg.close();
  }

  private static double height(Plot plot, double wide, double tall) {
    double head = TOP + Lines.HEIGHT * (Lines.of(plot.subtitle(), wide - LEFT).size() - 1);
    return head + tall + BELOW + new Legend(plot, wide).height() + 10;
  }

  private void plot(Plot plot, double top, String clip) {
    Frame frame = Frame.around(plot);
    svg.lettered(INK, "transform", "translate(0 " + Svg.number(top) + ")");
    svg.words(LEFT, 26, capital(plot.title()), "font-size", 17, "font-weight", "bold");
    List<String> subtitle = Lines.of(plot.subtitle(), wide - LEFT);
    double down = Lines.HEIGHT * (subtitle.size() - 1);
    for (int i = 0; i < subtitle.size(); i++) {
      svg.words(LEFT, 46 + Lines.HEIGHT * i, subtitle.get(i));
    }
    svg.begin("g", "transform", "translate(0 " + Svg.number(down) + ")");
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
    new Legend(plot, wide).draw(svg, TOP + tall + BELOW);
    svg.end().end();
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
    svg.upright(TOP + tall / 2, Frame.title(frame.y(), title));
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
    Pens.stroke(svg, path(frame, points(curve)), index);
  }

  /** In the colour of its curve, thin and dotted: each curve has guard bands of its own. */
  private void guard(Frame frame, Curve edge, int index) {
    Pens.guard(svg, path(frame, points(edge)), Pens.colour(index));
  }

  private static List<Band.Point> points(Curve curve) {
    List<Band.Point> points = new ArrayList<>();
    for (int i = 0; i < curve.size(); i++) {
      points.add(new Band.Point(curve.x(i), curve.y(i)));
    }
    return points;
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

  private double width() {
    return wide - LEFT - RIGHT;
  }

  private double x(Frame frame, double value) {
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
