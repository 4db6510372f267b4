package kitproof.report;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What a batch tells, for the one who builds it: yield, what failed, charts, every result, every
 * unit. One page for screens, one document for paper; the same batch gives the same page.
 */
public final class BatchReport extends Report {
  private static final String TITLE = "Batch report";
  private static final String BETWEEN = "; ";

  private static final List<ReportParts.Column> COLUMNS =
      List.of(
          new ReportParts.Column("Cp", "figure few"),
          new ReportParts.Column("95 %", "figure bounds"),
          new ReportParts.Column("Cpk", "figure few"),
          new ReportParts.Column("95 %", "figure bounds"),
          new ReportParts.Column("Units", "figure few"),
          new ReportParts.Column("Mean", "figure"),
          new ReportParts.Column("Deviation", "figure"),
          new ReportParts.Column("Limit", "limit"),
          new ReportParts.Column("Result", "what"),
          new ReportParts.Column("Remarks", "warnings"));

  private final BatchSheet batch;
  private final @Nullable Maker maker;

  /**
   * Of a batch.
   *
   * @param maker null if the maker is not to be named
   */
  public BatchReport(BatchSheet batch, @Nullable Maker maker) {
    this.batch = batch;
    this.maker = maker;
  }

  @Override
  Sheet sheet() {
    String of = batch.product().isEmpty() ? "" : batch.product() + " \u00b7 ";
    return new Sheet(
        TITLE,
        "batch " + batch.batch(),
        of + batch.batch() + " \u00b7 " + TITLE + uncalibrated(batch.facts()));
  }

  @Override
  void body(Markup page, boolean forPaper) {
    front(page, forPaper);
    ReportParts.charts(
        page,
        "Control charts",
        "The least capable results, and those with a pattern that chance seldom makes. Green is"
            + " what the limits allow; the dashed lines are what is usual.",
        batch.charts(),
        forPaper);
    units(page);
    results(page);
    remarks(page);
  }

  private void front(Markup page, boolean forPaper) {
    ReportParts.beginFront(page, maker, TITLE, batch.product(), "Batch", batch.batch());
    share(page, "Passed at the first attempt", batch.firstPass());
    share(page, "Passed in the end", batch.finalPass());
    page.end();
    ReportParts.facts(page, batch.facts());
    if (batch.failures() != null) {
      page.element("h3", "What failed in first attempts");
      Sheet.picture(page, batch.failures(), "What failed, by the number of units", forPaper);
    }
    brief(page);
    page.end();
  }

  private static void share(Markup page, String label, BatchSheet.Share share) {
    ReportParts.share(page, label, share.figure(), share.words());
  }

  private void brief(Markup page) {
    page.element("h3", "Worth a look");
    if (batch.strangers().isEmpty() && batch.movers().isEmpty()) {
      page.element("p", "Nothing stands out of what is to be expected by chance.", "class", "note");
      return;
    }
    ReportParts.remarks(page, batch.strangers(), BETWEEN);
    ReportParts.remarks(page, batch.movers(), BETWEEN);
  }

  private void remarks(Markup page) {
    if (batch.remarks().isEmpty()) {
      return;
    }
    page.begin("div", "class", "part").element("h2", "Worth a look, result by result");
    page.begin("div", "class", "small");
    ReportParts.remarks(page, batch.remarks(), BETWEEN);
    page.end().end();
  }

  private void results(Markup page) {
    page.begin("div", "class", "part").element("h2", "Results over the units");
    ReportParts.beginTable(page, "results batch", COLUMNS);
    for (BatchSheet.ResultLine line : batch.results()) {
      page.begin("tr");
      for (String figure :
          List.of(
              line.cp(),
              line.cpBounds(),
              line.cpk(),
              line.cpkBounds(),
              line.units(),
              line.mean(),
              line.deviation())) {
        page.element("td", Wording.set(figure), "class", "figure");
      }
      page.element("td", Wording.set(line.limit()));
      page.begin("td").element("b", Wording.set(line.result()));
      if (!line.when().isEmpty()) {
        page.words(" ").element("span", Wording.of(line.when()), "class", "small");
      }
      page.end().element("td", line.warnings(), "class", "small").end();
    }
    ReportParts.endTable(page, batch.notes());
    page.end();
  }

  private void units(Markup page) {
    page.begin("div", "class", "part").element("h2", "Units");
    page.begin("table", "class", "results units").begin("thead").begin("tr");
    for (String head :
        List.of("Serial number", "Tested", "Station", "Attempts", "First", "Last", "Failed")) {
      page.element("th", head, "scope", "col", "class", kind(head));
    }
    page.end().end().begin("tbody");
    for (BatchSheet.UnitLine unit : batch.units()) {
      page.begin("tr").element("th", unit.serial(), "scope", "row");
      page.element("td", unit.tested()).element("td", unit.station());
      page.element("td", unit.attempts());
      verdict(page, unit.first());
      verdict(page, unit.last());
      page.element("td", Wording.set(unit.failed())).end();
    }
    page.end().end();
    if (batch.unitsLeftOut() > 0) {
      page.element(
          "p",
          batch.unitsLeftOut()
              + " more units are not shown here; kitproof batch --csv writes them all.",
          "class",
          "note");
    }
    page.end();
  }

  private static String kind(String head) {
    return head.equals("Failed")
        ? "failures"
        : head.equals("Serial number") ? "unit" : head.equals("Tested") ? "tested" : "narrow";
  }

  private static void verdict(Markup page, String verdict) {
    if (verdict.equals("pass") || verdict.isEmpty()) {
      page.element("td", verdict);
    } else {
      page.element("td", verdict, "class", "failed");
    }
  }
}
