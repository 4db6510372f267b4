package kitproof.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.function.Predicate;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;

/**
 * Draws a result of a gauge study: every reading by unit, with the means of each appraiser joined;
 * the same by appraiser; and what the spread is made of.
 */
public final class GaugeDrawing {
  private static final double WIDTH = 880;
  private static final double LEFT = 72;
  private static final double GAP = 28;
  private static final double RIGHT_PANEL = 200;
  private static final double TOP = 76;
  private static final double HEIGHT = 230;
  private static final double LABELS = 58;
  private static final double ROW = 24;
  private static final double NAMES = 160;
  private static final double FIGURES = 250;
  private static final int MOST_COLOURS = 6;

  private static final List<String> COLOURS =
      List.of("#0b5fa5", "#c4501b", "#4f7f5a", "#7a3e9d", "#9a6b00", "#1f2933");

  private final GaugeChart chart;
  private final Svg svg;
  private final ChartArea area;

  private GaugeDrawing(GaugeChart chart) {
    this.chart = chart;
    double[] read = chart.readings().stream().mapToDouble(GaugeChart.Reading::value).toArray();
    double lowest = DoubleStream.of(read).min().orElseThrow();
    double highest = DoubleStream.of(read).max().orElseThrow();
    double room = 3 * Math.max(highest - lowest, Double.MIN_NORMAL);
    double[] all =
        DoubleStream.concat(
                DoubleStream.of(read),
                // A limit far away would squeeze the readings into a line.
                Stream.of(chart.low(), chart.high())
                    .filter(Objects::nonNull)
                    .mapToDouble(Double::doubleValue)
                    .filter(x -> x >= lowest - room && x <= highest + room))
            .toArray();
    this.svg = new Svg(WIDTH, TOP + HEIGHT + LABELS + ROW * (chart.parts().size() + 1) + 14);
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

  /** The drawing of one reading or more, to be set into a page. */
  public static String inline(GaugeChart chart) {
    return new GaugeDrawing(chart).draw();
  }

  private String draw() {
    svg.lettered(ChartArea.INK);
    svg.words(LEFT, 20, Drawing.capital(chart.title()), "font-size", 15, "font-weight", "bold");
    svg.words(LEFT, 38, chart.under(), "fill", ChartArea.QUIET);
    legend();
    panel(LEFT, width(), chart.units());
    panel(LEFT + width() + GAP, RIGHT_PANEL, chart.appraisers());
    area.labels(LEFT);
    byUnit();
    byAppraiser();
    parts();
    svg.end();
    return svg.closeInline();
  }

  private void legend() {
    double x = LEFT;
    for (String appraiser : chart.appraisers()) {
      svg.element("circle", "cx", x + 4, "cy", 56, "r", 4, "fill", colour(appraiser));
      svg.words(x + 13, 60, appraiser);
      x += 28 + 6.6 * appraiser.length();
    }
  }

  private void panel(double left, double wide, List<String> names) {
    svg.element("rect", "x", left, "y", TOP, "width", wide, "height", HEIGHT, "fill", "#ffffff");
    area.good(left, wide, chart.low(), chart.high());
    Stream.of(chart.low(), chart.high())
        .filter(Objects::nonNull)
        .filter(x -> area.axis().within(x) == x)
        .forEach(limit -> area.rule(left, wide, limit, MaskStyle.GOOD_EDGE, 1.3, "none"));
    area.grid(left, wide);
    for (int i = 0; i < names.size(); i++) {
      double x = place(left, wide, i, names.size());
      double y = TOP + HEIGHT + 14;
      svg.words(
          x + 3,
          y,
          names.get(i),
          "text-anchor",
          "end",
          "font-size",
          11,
          "transform",
          "rotate(-35 " + Svg.number(x + 3) + " " + Svg.number(y) + ")");
    }
    area.edge(left, wide);
  }

  private void byUnit() {
    int appraisers = chart.appraisers().size();
    double slot = width() / chart.units().size();
    for (int a = 0; a < appraisers; a++) {
      String appraiser = chart.appraisers().get(a);
      double aside = slot * 0.5 * ((a + 0.5) / appraisers - 0.5);
      List<double[]> means = new ArrayList<>();
      for (int u = 0; u < chart.units().size(); u++) {
        String unit = chart.units().get(u);
        double x = place(LEFT, width(), u, chart.units().size()) + aside;
        double[] values = of(r -> r.unit().equals(unit) && r.appraiser().equals(appraiser));
        for (double value : values) {
          dot(x, value, appraiser);
        }
        if (values.length > 0) {
          means.add(new double[] {x, area.y(DoubleStream.of(values).average().orElseThrow())});
        }
      }
      for (int i = 1; i < means.size(); i++) {
        double[] from = means.get(i - 1);
        double[] to = means.get(i);
        line(from[0], from[1], to[0], to[1], colour(appraiser), 1.2);
      }
    }
  }

  private void byAppraiser() {
    double left = LEFT + width() + GAP;
    for (int a = 0; a < chart.appraisers().size(); a++) {
      String appraiser = chart.appraisers().get(a);
      double x = place(left, RIGHT_PANEL, a, chart.appraisers().size());
      double[] values = of(r -> r.appraiser().equals(appraiser));
      for (double value : values) {
        dot(x, value, appraiser);
      }
      if (values.length > 0) {
        double mean = area.y(DoubleStream.of(values).average().orElseThrow());
        line(x - 16, mean, x + 16, mean, colour(appraiser), 2.5);
      }
    }
  }

  private void parts() {
    double top = TOP + HEIGHT + LABELS + ROW;
    svg.words(
        NAMES, top - 8, "standard deviation, with what it may be (95 %)", "fill", ChartArea.QUIET);
    double most =
        chart.parts().stream().mapToDouble(p -> Math.max(p.value(), 0)).max().orElse(0) * 1.6;
    double wide = WIDTH - NAMES - FIGURES;
    for (int i = 0; i < chart.parts().size(); i++) {
      GaugeChart.Part part = chart.parts().get(i);
      double y = top + ROW * i;
      double scale = most > 0 ? wide / most : 0;
      svg.words(NAMES - 10, y + 12, part.name(), "text-anchor", "end");
      svg.element(
          "rect",
          "x",
          NAMES,
          "y",
          y,
          "width",
          part.value() * scale,
          "height",
          15,
          "fill",
          part.ofTheStation() ? ChartArea.RED : ChartArea.BLUE);
      double from = NAMES + Math.min(most, part.low()) * scale;
      double to = NAMES + Math.min(most, part.high()) * scale;
      line(from, y + 7.5, to, y + 7.5, ChartArea.INK, 1.2);
      line(from, y + 3, from, y + 12, ChartArea.INK, 1.2);
      if (part.high() <= most) {
        line(to, y + 3, to, y + 12, ChartArea.INK, 1.2);
      }
      svg.words(NAMES + wide + 10, y + 12, part.words());
    }
  }

  private double[] of(Predicate<GaugeChart.Reading> wanted) {
    return chart.readings().stream()
        .filter(wanted)
        .mapToDouble(GaugeChart.Reading::value)
        .toArray();
  }

  private void dot(double x, double value, String appraiser) {
    svg.element(
        "circle",
        "cx",
        x,
        "cy",
        area.y(value),
        "r",
        3,
        "fill",
        colour(appraiser),
        "fill-opacity",
        0.7);
  }

  private void line(double x1, double y1, double x2, double y2, String colour, double thickness) {
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
        colour,
        "stroke-width",
        thickness);
  }

  private String colour(String appraiser) {
    return COLOURS.get(Math.max(0, chart.appraisers().indexOf(appraiser)) % MOST_COLOURS);
  }

  private static double place(double left, double wide, int index, int of) {
    return left + wide * (index + 0.5) / of;
  }

  private static double width() {
    return WIDTH - LEFT - GAP - RIGHT_PANEL - 8;
  }
}
