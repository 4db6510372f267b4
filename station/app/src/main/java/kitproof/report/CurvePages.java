package kitproof.report;

import java.util.List;
import kitproof.plot.Drawing;
import kitproof.plot.Plot;

/** The curves with their masks. */
final class CurvePages {
  private final Markup page;
  private final List<Plot> plots;
  private final boolean forPaper;

  CurvePages(Markup page, List<Plot> plots, boolean forPaper) {
    this.page = page;
    this.plots = plots;
    this.forPaper = forPaper;
  }

  void write() {
    if (plots.isEmpty()) {
      return;
    }
    page.begin("div", "class", "part").element("h2", "Curves");
    page.element(
        "p",
        "Green is where a curve may lie; what has no green was measured to be known, not judged.",
        "class",
        "note");
    page.begin("div", "class", "curves");
    for (int i = 0; i < plots.size(); i++) {
      plot(plots.get(i), "plot" + i);
    }
    page.end().end();
  }

  private void plot(Plot plot, String id) {
    String svg = Drawing.inline(plot, id);
    Sheet.picture(
        page,
        svg,
        "Plot of " + plot.title() + (plot.subtitle().isEmpty() ? "" : ", " + plot.subtitle()),
        forPaper);
  }
}
