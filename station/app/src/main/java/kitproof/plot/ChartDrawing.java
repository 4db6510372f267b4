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

  private final ControlChart chart;
  private final ChartArea area;
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
    this.area =
        new ChartArea(
            svg,
            Axis.linearAround(
                chart.unit(),
                DoubleStream.of(all).min().orElseThrow(),
                DoubleStream.of(all).max().orElseThrow()),
            TOP,
            HEIGHT);
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
    return Svg.inline(svg(charts));
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
    svg.lettered(ChartArea.INK);
    svg.words(LEFT, 26, Drawing.capital(chart.title()), "font-size", 17, "font-weight", "bold");
    svg.words(LEFT, 46, chart.subtitle());
    area.good(LEFT, width(), chart.low(), chart.high());
    area.grid(LEFT, width());
    area.labels(LEFT);
    limits();
    labels();
    points();
    area.edge(LEFT, width());
    legend();
    svg.end();
  }

  /** Their names stand at the right, pushed apart where the lines are too near for the words. */
  private void limits() {
    record Named(String name, @Nullable Double value, String colour, String dashes) {}
    List<Named> all =
        List.of(
            new Named("limit", chart.high(), MaskStyle.GOOD_EDGE, "none"),
            new Named("control limit", chart.upper(), ChartArea.RED, "6 3"),
            new Named("centre", chart.centre(), ChartArea.INK, "none"),
            new Named("control limit", chart.lower(), ChartArea.RED, "6 3"),
            new Named("limit", chart.low(), MaskStyle.GOOD_EDGE, "none"));
    List<Named> sorted = new ArrayList<>(all);
    sorted.removeIf(named -> named.value == null);
    sorted.sort(Comparator.comparingDouble(n -> -(n.value == null ? 0 : n.value)));
    double free = TOP - 10;
    for (Named named : sorted) {
      double value = named.value == null ? 0 : named.value;
      area.rule(LEFT, width(), value, named.colour, 1.3, named.dashes);
      double at = Math.max(area.y(value) + 4, free + 13);
      free = at;
      String words = named.name + " " + Quantity.of(value, chart.unit()).display();
      svg.words(LEFT + width() + 6, at, words, "fill", named.colour, "font-size", 10.5);
    }
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
          .append(Svg.number(area.y(chart.points().get(i).value())));
    }
    svg.element("path", "d", path, "fill", "none", "stroke", ChartArea.BLUE, "stroke-width", 1.2);
    Map<String, String> letters = rules(chart);
    for (int i = 0; i < chart.points().size(); i++) {
      ControlChart.Point point = chart.points().get(i);
      boolean marked = !point.marks().isEmpty();
      svg.element(
          "circle",
          "cx",
          x(i),
          "cy",
          area.y(point.value()),
          "r",
          marked ? 5 : 3.2,
          "fill",
          marked ? ChartArea.RED : ChartArea.BLUE);
      if (marked) {
        String words = String.join("", point.marks().stream().map(letters::get).toList());
        double y = area.y(point.value());
        svg.words(
            x(i),
            y - TOP < 18 ? y + 18 : y - 9,
            words,
            "text-anchor",
            "middle",
            "fill",
            ChartArea.RED,
            "font-weight",
            "bold");
      }
    }
  }

  private void legend() {
    double y = TOP + HEIGHT + LABELS + ROW;
    for (Map.Entry<String, String> rule : rules(chart).entrySet()) {
      svg.words(LEFT, y, rule.getValue() + ": " + rule.getKey(), "fill", ChartArea.RED);
      y += ROW;
    }
    svg.words(LEFT, y, chart.origin() + " They tell what is usual, not what is good.");
  }

  private double x(int index) {
    return LEFT + width() * (index + 0.5) / chart.points().size();
  }

  private static double width() {
    return WIDTH - LEFT - RIGHT;
  }
}
