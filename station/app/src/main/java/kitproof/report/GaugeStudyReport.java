package kitproof.report;

import java.io.IOException;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The report of a gauge study: whether the station can judge each limit, pictures by unit and by
 * appraiser, and what the spread of every result is made of. One page for screens, one document for
 * paper; the same study gives the same page.
 */
public final class GaugeStudyReport {
  private static final String TITLE = "Gauge study";
  private static final int ON_THE_FRONT = 5;

  private final GaugeSheet study;
  private final @Nullable Maker maker;

  /**
   * Of a study.
   *
   * @param maker null if the maker is not to be named
   */
  public GaugeStudyReport(GaugeSheet study, @Nullable Maker maker) {
    this.study = study;
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
    String of = study.product().isEmpty() ? "" : study.product() + " \u00b7 ";
    return new Sheet(TITLE, "study " + study.study(), of + study.study() + " \u00b7 " + TITLE);
  }

  private void body(Markup page, boolean forPaper) {
    front(page);
    charts(page, forPaper);
    results(page);
    if (study.answers().size() > ON_THE_FRONT) {
      page.begin("div", "class", "part").element("h2", "Limit by limit");
      page.begin("div", "class", "small");
      list(page, study.answers());
      page.end().end();
    }
  }

  private void front(Markup page) {
    page.begin("div", "class", "front");
    if (maker != null) {
      Sheet.letterhead(page, maker);
    }
    page.element("h1", TITLE);
    if (!study.product().isEmpty()) {
      page.element("p", Wording.set(study.product()), "class", "product");
    }
    page.begin("div", "class", "plate")
        .begin("div", "class", "serial")
        .element("p", "Study", "class", "label")
        .element("p", study.study(), "class", "number")
        .end();
    page.begin("div", "class", "share")
        .element("p", "Limits that the station can judge", "class", "label")
        .element("p", Wording.set(study.able().figure()), "class", "number")
        .element("p", Wording.set(study.rest()), "class", "small")
        .end();
    page.end();
    page.element("p", Wording.set(study.able().words()), "class", "note");
    page.begin("dl", "class", "facts");
    for (int i = 0; i + 1 < study.facts().size(); i += 2) {
      page.begin("div")
          .element("dt", study.facts().get(i))
          .element("dd", Wording.set(study.facts().get(i + 1)))
          .end();
    }
    page.end();
    page.element("h3", "Hardest to judge");
    if (study.answers().isEmpty()) {
      page.element("p", "No result of the study has a limit.", "class", "note");
    } else {
      list(page, study.answers().stream().limit(ON_THE_FRONT).toList());
    }
    page.end();
  }

  private static void list(Markup page, List<BatchSheet.Remark> remarks) {
    page.begin("ul");
    for (BatchSheet.Remark remark : remarks) {
      page.begin("li")
          .element("b", Wording.set(remark.of()))
          .words(": " + Wording.set(String.join(" ", remark.words())))
          .end();
    }
    page.end();
  }

  private void charts(Markup page, boolean forPaper) {
    if (study.charts().isEmpty()) {
      return;
    }
    page.begin("div", "class", "part").element("h2", "By unit, by appraiser");
    page.element(
        "p",
        "Each dot is a reading. Lines join an appraiser's means over the units: apart, the"
            + " appraisers differ; crossing, they differ from unit to unit. Green is what the"
            + " limits allow.",
        "class",
        "note");
    study.charts().forEach(c -> Sheet.picture(page, c.svg(), c.shown(), forPaper));
    page.end();
  }

  private void results(Markup page) {
    page.begin("div", "class", "part").element("h2", "What the spread is made of");
    page.begin("table", "class", "results batch gauge").begin("thead").begin("tr");
    List<String> heads =
        List.of(
            "Tolerance",
            "95 %",
            "Study",
            "Kinds",
            "Station",
            "Repeat.",
            "Reprod.",
            "Units",
            "Ranges",
            "Result");
    List<String> kinds =
        List.of(
            "figure",
            "figure wide",
            "figure few",
            "figure few",
            "figure",
            "figure",
            "figure",
            "figure",
            "figure",
            "what");
    for (int i = 0; i < heads.size(); i++) {
      page.element("th", heads.get(i), "class", kinds.get(i), "scope", "col");
    }
    page.end().end().begin("tbody");
    for (GaugeSheet.Line line : study.results()) {
      page.begin("tr");
      for (String figure :
          List.of(
              line.tolerance(),
              line.bounds(),
              line.share(),
              line.kinds(),
              line.station(),
              line.repeatability(),
              line.reproducibility(),
              line.units(),
              line.ranges())) {
        page.element("td", Wording.set(figure), "class", "figure");
      }
      page.begin("td").element("b", Wording.set(line.result()));
      if (!line.when().isEmpty()) {
        page.words(" ").element("span", Wording.set(line.when()), "class", "small");
      }
      if (!line.remarks().isEmpty()) {
        page.words(" ").element("span", Wording.set(line.remarks()), "class", "small");
      }
      page.end().end();
    }
    page.end().end();
    study.notes().forEach(note -> page.element("p", Wording.set(note), "class", "note"));
    page.end();
  }
}
