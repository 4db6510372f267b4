package kitproof.plot;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** Draws a control chart as an SVG document. */
public final class ChartDrawing {
  private static final double WIDTH = 880;
  private static final double LEFT = 72;
  private static final double RIGHT = 132;
  private static final double TOP = 60;
  private static final double HEIGHT = 330;
  private static final double LABELS = 84;
  private static final double ROW = 20;
  private static final int MOST_LABELS = 40;

  private static final String INK = "#1f2933";
  private static final String FAINT = "#e3e6eb";
  private static final String GOOD = "#e4f0e6";
  private static final String EDGE = "#4f7f5a";
  private static final String LINE = "#0b5fa5";
  private static final String ALARM = "#c4501b";

  private final ControlChart chart;
  private final Axis axis;
  private final Svg svg;

  private ChartDrawing(ControlChart chart, Svg svg) {
    this.chart = chart;
    this.svg = svg;
    double[] all =
        DoubleStream.concat(
                chart.points().stream().mapToDouble(ControlChart.Point::value),
                Stream.of(chart.lower(), chart.upper(), chart.low(), chart.high())
                    .filter(Objects::nonNull)
                    .mapToDouble(Double::doubleValue))
            .toArray();
    this.axis =
        Axis.linearAround(
            chart.unit(),
            DoubleStream.of(all).min().orElseThrow(),
            DoubleStream.of(all).max().orElseThrow());
  }

  /** The document. */
  public static String svg(ControlChart chart) {
    return svg(List.of(chart));
  }

  /** A document with several charts, one below the other, such as means and ranges. */
  public static String svg(List<ControlChart> charts) {
    double height = charts.stream().mapToDouble(ChartDrawing::height).sum();
    Svg svg = new Svg(WIDTH, height);
    svg.element("rect", "width", WIDTH, "height", height, "fill", "#ffffff");
    double top = 0;
    for (ControlChart chart : charts) {
      svg.begin("g", "transform", "translate(0 " + Svg.number(top) + ")");
      new ChartDrawing(chart, svg).draw();
      svg.end();
      top += height(chart);
    }
    return svg.close();
  }

  /** The same to be set into a page. */
  public static String inline(List<ControlChart> charts) {
    return svg(charts).replaceFirst("^<\\?xml[^>]*>\\s*", "");
  }

  private static double height(ControlChart chart) {
    return TOP + HEIGHT + LABELS + ROW * (1 + rules(chart).size()) + 16;
  }

  /** Each rule that marks a point, with the letter it is marked by. */
  private static Map<String, String> rules(ControlChart chart) {
    Map<String, String> letters = new LinkedHashMap<>();
    for (ControlChart.Point point : chart.points()) {
      for (String rule : point.marks()) {
        letters.putIfAbsent(rule, String.valueOf((char) ('a' + letters.size())));
      }
    }
    return letters;
  }

  private void draw() {
    svg.begin(
        "g", "font-family", "Lato, Helvetica, Arial, sans-serif", "font-size", 12, "fill", INK);
    svg.words(LEFT, 26, Drawing.capital(chart.title()), "font-size", 17, "font-weight", "bold");
    svg.words(LEFT, 46, chart.subtitle());
    band();
    for (Axis.Tick tick : axis.ticks()) {
      rule(tick.value(), FAINT, 1, "none");
      svg.words(LEFT - 8, y(tick.value()) + 4, tick.label(), "text-anchor", "end");
    }
    svg.words(
        18,
        TOP + HEIGHT / 2,
        Frame.title(axis),
        "text-anchor",
        "middle",
        "transform",
        "rotate(-90 18 " + Svg.number(TOP + HEIGHT / 2) + ")");
    limits();
    labels();
    points();
    svg.element(
        "rect", "x", LEFT, "y", TOP, "width", width(), "height", HEIGHT, "fill", "none", "stroke",
        INK);
    legend();
    svg.end();
  }

  private void band() {
    if (chart.low() == null && chart.high() == null) {
      return;
    }
    double top = chart.high() == null ? TOP : y(chart.high());
    double bottom = chart.low() == null ? TOP + HEIGHT : y(chart.low());
    svg.element(
        "rect",
        "x",
        LEFT,
        "y",
        top,
        "width",
        width(),
        "height",
        Math.max(0, bottom - top),
        "fill",
        GOOD);
  }

  /** Their names stand at the right, pushed apart where the lines are too near for the words. */
  private void limits() {
    record Named(String name, @Nullable Double value, String colour, String dashes) {}
    List<Named> all =
        List.of(
            new Named("limit", chart.high(), EDGE, "none"),
            new Named("control limit", chart.upper(), ALARM, "6 3"),
            new Named("centre", chart.centre(), INK, "none"),
            new Named("control limit", chart.lower(), ALARM, "6 3"),
            new Named("limit", chart.low(), EDGE, "none"));
    List<Named> sorted = new ArrayList<>(all);
    sorted.removeIf(named -> named.value == null);
    sorted.sort(Comparator.comparingDouble(n -> -(n.value == null ? 0 : n.value)));
    double free = TOP - 10;
    for (Named named : sorted) {
      double value = named.value == null ? 0 : named.value;
      rule(value, named.colour, 1.3, named.dashes);
      double at = Math.max(y(value) + 4, free + 13);
      free = at;
      String words = named.name + " " + Quantity.of(value, chart.unit()).display();
      svg.words(LEFT + width() + 6, at, words, "fill", named.colour, "font-size", 10.5);
    }
  }

  private void rule(double value, String colour, double thickness, String dashes) {
    svg.element(
        "line",
        "x1",
        LEFT,
        "y1",
        y(value),
        "x2",
        LEFT + width(),
        "y2",
        y(value),
        "stroke",
        colour,
        "stroke-width",
        thickness,
        "stroke-dasharray",
        dashes);
  }

  private void labels() {
    int every = 1 + (chart.points().size() - 1) / MOST_LABELS;
    for (int i = 0; i < chart.points().size(); i += every) {
      double y = TOP + HEIGHT + 14;
      svg.words(
          x(i),
          y,
          chart.points().get(i).label(),
          "text-anchor",
          "end",
          "transform",
          "rotate(-55 " + Svg.number(x(i)) + " " + Svg.number(y) + ")");
    }
  }

  private void points() {
    StringBuilder path = new StringBuilder();
    for (int i = 0; i < chart.points().size(); i++) {
      path.append(i == 0 ? 'M' : 'L')
          .append(Svg.number(x(i)))
          .append(' ')
          .append(Svg.number(y(chart.points().get(i).value())));
    }
    svg.element("path", "d", path, "fill", "none", "stroke", LINE, "stroke-width", 1.2);
    Map<String, String> letters = rules(chart);
    for (int i = 0; i < chart.points().size(); i++) {
      ControlChart.Point point = chart.points().get(i);
      boolean marked = !point.marks().isEmpty();
      svg.element(
          "circle",
          "cx",
          x(i),
          "cy",
          y(point.value()),
          "r",
          marked ? 5 : 3.2,
          "fill",
          marked ? ALARM : LINE);
      if (marked) {
        String words = String.join("", point.marks().stream().map(letters::get).toList());
        double y = y(point.value());
        svg.words(
            x(i),
            y - TOP < 18 ? y + 18 : y - 9,
            words,
            "text-anchor",
            "middle",
            "fill",
            ALARM,
            "font-weight",
            "bold");
      }
    }
  }

  private void legend() {
    double y = TOP + HEIGHT + LABELS + ROW;
    for (Map.Entry<String, String> rule : rules(chart).entrySet()) {
      svg.words(LEFT, y, rule.getValue() + ": " + rule.getKey(), "fill", ALARM);
      y += ROW;
    }
    svg.words(LEFT, y, chart.origin() + " They tell what is usual, not what is good.");
  }

  private double x(int index) {
    return LEFT + width() * (index + 0.5) / chart.points().size();
  }

  private double y(double value) {
    return TOP + HEIGHT * (1 - axis.position(axis.within(value)));
  }

  private static double width() {
    return WIDTH - LEFT - RIGHT;
  }
}
