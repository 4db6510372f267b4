package kitproof.report;

import java.io.IOException;
import java.util.List;
import kitproof.event.Event;
import org.jspecify.annotations.Nullable;

/**
 * What a batch tells, for the one who builds it: yield, what failed, charts, every result, every
 * unit. One page for screens, one document for paper; the same batch gives the same page.
 */
public final class BatchReport {
  private static final String TITLE = "Batch report";

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

  /** The page for screens, with its fonts in it; it prints as well. */
  public String html(Paper paper) {
    return sheet().html(paper, this::body);
  }

  /**
   * The document for paper: PDF, tagged, its fonts embedded.
   *
   * @throws IOException if it cannot be made
   */
  public byte[] pdf(Paper paper) throws IOException {
    return sheet().pdf(paper, this::body);
  }

  private Sheet sheet() {
    String of = batch.product().isEmpty() ? "" : batch.product() + " \u00b7 ";
    return new Sheet(
        TITLE, "batch " + batch.batch(), of + batch.batch() + " \u00b7 " + TITLE + uncalibrated());
  }

  /** For the foot of every sheet, where some runs were made without a calibration. */
  private String uncalibrated() {
    return batch.facts().stream()
        .filter(fact -> fact.contains(Event.CalibrationTold.UNCALIBRATED))
        .map(fact -> " \u00b7 " + fact)
        .findFirst()
        .orElse("");
  }

  private void body(Markup page, boolean forPaper) {
    front(page, forPaper);
    charts(page, forPaper);
    units(page);
    results(page);
    remarks(page);
  }

  private void front(Markup page, boolean forPaper) {
    page.begin("div", "class", "front");
    if (maker != null) {
      Sheet.letterhead(page, maker);
    }
    page.element("h1", TITLE);
    if (!batch.product().isEmpty()) {
      page.element("p", Wording.set(batch.product()), "class", "product");
    }
    page.begin("div", "class", "plate")
        .begin("div", "class", "serial")
        .element("p", "Batch", "class", "label")
        .element("p", batch.batch(), "class", "number")
        .end();
    share(page, "Passed at the first attempt", batch.firstPass());
    share(page, "Passed in the end", batch.finalPass());
    page.end();
    facts(page);
    if (batch.failures() != null) {
      page.element("h3", "What failed in first attempts");
      Sheet.picture(page, batch.failures(), "What failed, by the number of units", forPaper);
    }
    brief(page);
    page.end();
  }

  private static void share(Markup page, String label, BatchSheet.Share share) {
    page.begin("div", "class", "share")
        .element("p", label, "class", "label")
        .element("p", Wording.set(share.figure()), "class", "number")
        .element("p", Wording.set(share.words()), "class", "small")
        .end();
  }

  private void facts(Markup page) {
    page.begin("dl", "class", "facts");
    for (int i = 0; i + 1 < batch.facts().size(); i += 2) {
      page.begin("div")
          .element("dt", batch.facts().get(i))
          .element("dd", Wording.set(batch.facts().get(i + 1)))
          .end();
    }
    page.end();
  }

  private void brief(Markup page) {
    page.element("h3", "Worth a look");
    if (batch.strangers().isEmpty() && batch.movers().isEmpty()) {
      page.element("p", "Nothing stands out of what is to be expected by chance.", "class", "note");
      return;
    }
    list(page, batch.strangers());
    list(page, batch.movers());
  }

  private void remarks(Markup page) {
    if (batch.remarks().isEmpty()) {
      return;
    }
    page.begin("div", "class", "part").element("h2", "Worth a look, result by result");
    page.begin("div", "class", "small");
    list(page, batch.remarks());
    page.end().end();
  }

  private static void list(Markup page, List<BatchSheet.Remark> remarks) {
    if (remarks.isEmpty()) {
      return;
    }
    page.begin("ul");
    for (BatchSheet.Remark remark : remarks) {
      page.begin("li")
          .element("b", Wording.set(remark.of()))
          .words(": " + Wording.set(String.join("; ", remark.words())))
          .end();
    }
    page.end();
  }

  private void charts(Markup page, boolean forPaper) {
    if (batch.charts().isEmpty()) {
      return;
    }
    page.begin("div", "class", "part").element("h2", "Control charts");
    page.element(
        "p",
        "The least capable results, and those with a pattern that chance seldom makes. Green is"
            + " what the limits allow; the dashed lines are what is usual.",
        "class",
        "note");
    batch.charts().forEach(c -> Sheet.picture(page, c.svg(), c.shown(), forPaper));
    page.end();
  }

  private void results(Markup page) {
    page.begin("div", "class", "part").element("h2", "Results over the units");
    page.begin("table", "class", "results batch").begin("thead").begin("tr");
    List<String> heads =
        List.of("Cp", "Cpk", "95 %", "Units", "Mean", "Deviation", "Limit", "Result", "Remarks");
    List<String> kinds =
        List.of(
            "figure few",
            "figure few",
            "figure bounds",
            "figure few",
            "figure",
            "figure",
            "limit",
            "what",
            "warnings");
    for (int i = 0; i < heads.size(); i++) {
      page.element("th", heads.get(i), "class", kinds.get(i), "scope", "col");
    }
    page.end().end().begin("tbody");
    for (BatchSheet.ResultLine line : batch.results()) {
      page.begin("tr");
      for (String figure :
          List.of(
              line.cp(), line.cpk(), line.bounds(), line.units(), line.mean(), line.deviation())) {
        page.element("td", Wording.set(figure), "class", "figure");
      }
      page.element("td", Wording.set(line.limit()));
      page.begin("td").element("b", Wording.set(line.result()));
      if (!line.when().isEmpty()) {
        page.words(" ").element("span", Wording.of(line.when()), "class", "small");
      }
      page.end().element("td", line.warnings(), "class", "small").end();
    }
    page.end().end();
    batch.notes().forEach(note -> page.element("p", Wording.set(note), "class", "note"));
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
