package kitproof.plot;

import java.util.List;
import java.util.Locale;

/** Draws how often what failed, most often first, as an SVG document to be set into a page. */
public final class ParetoDrawing {
  private static final double WIDTH = 880;
  private static final double NAMES = 300;
  private static final double FIGURES = 130;
  private static final double ROW = 26;
  private static final double TOP = 22;
  private static final double BAR = 16;
  private static final int LONGEST_NAME = 46;

  private ParetoDrawing() {}

  /**
   * One cause.
   *
   * @param count how many units
   * @param cumulative the part of all that this and those before it make, 0 to 1
   */
  public record Bar(String name, int count, double cumulative) {}

  /** The drawing of one bar or more. */
  public static String inline(List<Bar> bars) {
    Svg svg = new Svg(WIDTH, TOP + ROW * bars.size() + 8);
    svg.lettered(ChartArea.INK);
    svg.words(NAMES, 12, "units", "fill", ChartArea.QUIET);
    svg.words(WIDTH - 4, 12, "together", "fill", ChartArea.QUIET, "text-anchor", "end");
    int most = bars.stream().mapToInt(Bar::count).max().orElse(1);
    for (int i = 0; i < bars.size(); i++) {
      Bar bar = bars.get(i);
      double y = TOP + ROW * i;
      double width = (WIDTH - NAMES - FIGURES) * bar.count() / most;
      svg.words(NAMES - 10, y + 13, shortened(bar.name()), "text-anchor", "end");
      svg.element("rect", "x", NAMES, "y", y, "width", width, "height", BAR, "fill", ChartArea.RED);
      svg.words(NAMES + width + 8, y + 13, String.valueOf(bar.count()), "font-weight", "bold");
      svg.words(
          WIDTH - 4,
          y + 13,
          String.format(Locale.ROOT, "%.0f %%", 100 * bar.cumulative()),
          "text-anchor",
          "end",
          "fill",
          ChartArea.QUIET);
    }
    svg.end();
    return svg.closeInline();
  }

  private static String shortened(String name) {
    return name.length() <= LONGEST_NAME ? name : name.substring(0, LONGEST_NAME - 1) + "\u2026";
  }
}
