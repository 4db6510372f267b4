package kitproof.report;

import java.io.IOException;

/**
 * One page for screens and one document for paper, each whole in itself: what every report shares.
 *
 * @param title "Certificate of test"
 * @param of what it is of: "Linnet 12 LN12-001"
 * @param foot what stands at the foot of every sheet before its number
 */
record Sheet(String title, String of, String foot) {

  /** What is between head and foot. */
  interface Body {
    /**
     * Writes it.
     *
     * @param forPaper whether it is for the paper's renderer
     */
    void write(Markup page, boolean forPaper);
  }

  /** The page for screens, with its fonts in it; it prints as well. */
  String html(Paper paper, Body body) {
    String written = written(body, false);
    Markup page = new Markup();
    page.begin("html", "lang", "en");
    head(page, Stylesheet.forScreens(paper, Typeface.css(written)));
    page.finished(written);
    return "<!DOCTYPE html>\n" + page.end().close() + "\n";
  }

  /**
   * The document for paper: PDF, tagged, its fonts embedded.
   *
   * @throws IOException if it cannot be made
   */
  byte[] pdf(Paper paper, Body body) throws IOException {
    Markup page = new Markup();
    page.begin("html", "lang", "en");
    head(page, Stylesheet.forPaper(paper));
    page.finished(written(body, true)).end();
    return Pdf.of(page.close());
  }

  private void head(Markup page, String style) {
    page.begin("head")
        .lone("meta", "charset", "utf-8")
        .element("title", title + ": " + of)
        .lone("meta", "name", "description", "content", title + " of " + of)
        .lone("meta", "name", "viewport", "content", "width=device-width")
        .element("style", style)
        .end();
  }

  private String written(Body body, boolean forPaper) {
    Markup page = new Markup();
    page.begin("body");
    // Set into the margin of every sheet; a screen does not show it.
    page.begin("div", "class", "foot")
        .element("span", Wording.set(foot + " \u00b7 "), "class", "of")
        .element("span", "", "class", "sheet")
        .end();
    body.write(page, forPaper);
    return page.end().close();
  }

  /**
   * A drawing. A screen reader is told what it shows in another way on a page than in a document
   * for paper, whose renderer reads the word {@code alt} wherever it stands.
   *
   * @param svg the drawing, without the declaration of a document
   * @param shown what it shows
   */
  static void picture(Markup page, String svg, String shown, boolean forPaper) {
    if (forPaper) {
      Markup told = new Markup().lone("svg", "alt", shown);
      String begun = told.close().replaceFirst("/?>$", "");
      page.begin("div", "class", "plot").finished(begun + svg.substring("<svg".length())).end();
    } else {
      page.begin("div", "class", "plot", "role", "img", "aria-label", shown).finished(svg).end();
    }
  }

  /** Whose paper it is. */
  static void letterhead(Markup page, Maker maker) {
    page.begin("div", "class", "letterhead");
    Logo logo = maker.logo();
    if (logo != null) {
      page.begin("div", "class", "logo")
          .lone("img", "src", logo.uri(), "alt", "Logo of " + maker.name())
          .end();
    }
    page.begin("div", "class", "maker").element("p", maker.name(), "class", "name");
    if (!maker.motto().isEmpty()) {
      page.element("p", maker.motto(), "class", "motto");
    }
    page.end();
    page.begin("div", "class", "address");
    maker.address().forEach(line -> page.element("p", line));
    page.end().end();
  }
}
