package kitproof.report;

import java.io.IOException;
import java.util.List;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.plot.Plot;
import org.jspecify.annotations.Nullable;

/**
 * What a unit's record says, for the person who will own the unit: one page for screens, one
 * document for paper, each whole in itself.
 *
 * <p>Only a passed run is called a certificate; any other is a test report and says so on its first
 * page. The same record gives the same page.
 */
public final class Certificate {
  private final RunRecord record;
  private final String digest;
  private final @Nullable Maker maker;
  private final List<Plot> plots;

  /**
   * Of an ended run.
   *
   * @param digest of the record's document: "sha256:…"
   * @param maker null if the maker is not to be named
   * @throws IllegalArgumentException if the run goes on
   */
  public Certificate(RunRecord record, String digest, @Nullable Maker maker) {
    if (record.verdict() == null) {
      throw new IllegalArgumentException("run " + record.run() + " has not ended");
    }
    this.record = record;
    this.digest = digest;
    this.maker = maker;
    this.plots = CurveSheets.of(record);
  }

  /** "Certificate of test", or "Test report" of a unit that did not pass. */
  public String title() {
    return record.verdict() == Verdict.PASS ? "Certificate of test" : "Test report";
  }

  /** The page for screens, with its fonts in it; it prints as well. */
  public String html(Paper paper) {
    String body = body(false);
    Markup page = new Markup();
    page.begin("html", "lang", "en");
    head(page, Stylesheet.forScreens(paper, Typeface.css(body)));
    page.finished(body);
    return "<!DOCTYPE html>\n" + page.end().close() + "\n";
  }

  /**
   * The document for paper: PDF, tagged, its fonts embedded.
   *
   * @throws IOException if it cannot be made
   */
  public byte[] pdf(Paper paper) throws IOException {
    Markup page = new Markup();
    page.begin("html", "lang", "en");
    head(page, Stylesheet.forPaper(paper));
    page.finished(body(true)).end();
    return Pdf.of(page.close());
  }

  private void head(Markup page, String style) {
    page.begin("head")
        .lone("meta", "charset", "utf-8")
        .element("title", title() + ": " + record.product() + " " + record.unit())
        .lone(
            "meta",
            "name",
            "description",
            "content",
            title() + " of " + record.product() + " " + record.unit())
        .lone("meta", "name", "viewport", "content", "width=device-width")
        .element("style", style)
        .end();
  }

  private String body(boolean forPaper) {
    Markup page = new Markup();
    page.begin("body");
    // Set into the margin of every sheet; a screen does not show it.
    page.begin("div", "class", "foot")
        .element(
            "span",
            Wording.set(
                record.product() + " \u00b7 " + record.unit() + " \u00b7 " + title() + " \u00b7 "),
            "class",
            "of")
        .element("span", "", "class", "sheet")
        .end();
    new FrontPage(page, record, maker, title()).write();
    new CurvePages(page, plots, forPaper).write();
    new ResultPages(page, record).write();
    new OriginPages(page, record, digest).write();
    return page.end().close();
  }
}
