package kitproof.plot;

import org.jspecify.annotations.Nullable;

/**
 * The area of a chart whose values go upwards: its values' axis, what is good in it, and lines at a
 * value.
 *
 * @param svg what it is drawn into
 * @param axis of the values
 * @param top of the area in user units
 * @param height of the area in user units
 */
record ChartArea(Svg svg, Axis axis, double top, double height) {
  static final String INK = Drawing.INK;
  static final String QUIET = "#52606d";
  static final String FAINT = "#e3e6eb";
  static final String BLUE = Pens.colour(0);
  static final String RED = Pens.colour(1);

  /** Where a value is drawn; one outside the axis at its end. */
  double y(double value) {
    return top + height * (1 - axis.position(axis.within(value)));
  }

  /** The labels of the axis to the left of the area, and along it what it is. */
  void labels(double left) {
    for (Axis.Tick tick : axis.ticks()) {
      svg.words(left - 8, y(tick.value()) + 4, tick.label(), "text-anchor", "end");
    }
    svg.upright(top + height / 2, Frame.title(axis));
  }

  /** What is good, from one side to the other. */
  void good(double left, double width, @Nullable Double low, @Nullable Double high) {
    if (low == null && high == null) {
      return;
    }
    double upper = high == null ? top : y(high);
    double lower = low == null ? top + height : y(low);
    svg.element(
        "rect",
        "x",
        left,
        "y",
        upper,
        "width",
        width,
        "height",
        Math.max(0, lower - upper),
        "fill",
        MaskStyle.GOOD);
  }

  /** A line at each tick. */
  void grid(double left, double width) {
    for (Axis.Tick tick : axis.ticks()) {
      rule(left, width, tick.value(), FAINT, 1, "none");
    }
  }

  /** A line at a value, from one side to the other. */
  void rule(
      double left, double width, double value, String colour, double thickness, String dashes) {
    svg.element(
        "line",
        "x1",
        left,
        "y1",
        y(value),
        "x2",
        left + width,
        "y2",
        y(value),
        "stroke",
        colour,
        "stroke-width",
        thickness,
        "stroke-dasharray",
        dashes);
  }

  /** The edge of the area. */
  void edge(double left, double width) {
    svg.element(
        "rect", "x", left, "y", top, "width", width, "height", height, "fill", "none", "stroke",
        INK);
  }
}
