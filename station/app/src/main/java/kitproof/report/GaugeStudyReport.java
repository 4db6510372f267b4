package kitproof.report;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The report of a gauge study: whether the station can judge each limit, pictures by unit and by
 * appraiser, and what the spread of every result is made of. One page for screens, one document for
 * paper; the same study gives the same page.
 */
public final class GaugeStudyReport extends Report {
  private static final String TITLE = "Gauge study";
  private static final String BETWEEN = " ";
  private static final int ON_THE_FRONT = 5;

  private static final List<ReportParts.Column> COLUMNS =
      List.of(
          new ReportParts.Column("Tolerance", "figure"),
          new ReportParts.Column("95 %", "figure wide"),
          new ReportParts.Column("Study", "figure few"),
          new ReportParts.Column("Kinds", "figure few"),
          new ReportParts.Column("Station", "figure"),
          new ReportParts.Column("Repeat.", "figure"),
          new ReportParts.Column("Reprod.", "figure"),
          new ReportParts.Column("Units", "figure"),
          new ReportParts.Column("Ranges", "figure"),
          new ReportParts.Column("Result", "what"));

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

  @Override
  Sheet sheet() {
    String of = study.product().isEmpty() ? "" : study.product() + " \u00b7 ";
    return new Sheet(
        TITLE,
        "study " + study.study(),
        of + study.study() + " \u00b7 " + TITLE + uncalibrated(study.facts()));
  }

  @Override
  void body(Markup page, boolean forPaper) {
    front(page);
    ReportParts.charts(
        page,
        "By unit, by appraiser",
        "Each dot is a reading. Lines join an appraiser's means over the units: apart, the"
            + " appraisers differ; crossing, they differ from unit to unit. Green is what the"
            + " limits allow.",
        study.charts(),
        forPaper);
    results(page);
    if (study.answers().size() > ON_THE_FRONT) {
      page.begin("div", "class", "part").element("h2", "Limit by limit");
      page.begin("div", "class", "small");
      ReportParts.remarks(page, study.answers(), BETWEEN);
      page.end().end();
    }
  }

  private void front(Markup page) {
    ReportParts.beginFront(page, maker, TITLE, study.product(), "Study", study.study());
    ReportParts.share(
        page, "Limits that the station can judge", study.able().figure(), study.rest());
    page.end();
    page.element("p", Wording.set(study.able().words()), "class", "note");
    ReportParts.facts(page, study.facts());
    page.element("h3", "Hardest to judge");
    if (study.answers().isEmpty()) {
      page.element("p", "No result of the study has a limit.", "class", "note");
    } else {
      ReportParts.remarks(page, study.answers().stream().limit(ON_THE_FRONT).toList(), BETWEEN);
    }
    page.end();
  }

  private void results(Markup page) {
    page.begin("div", "class", "part").element("h2", "What the spread is made of");
    ReportParts.beginTable(page, "results batch gauge", COLUMNS);
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
    ReportParts.endTable(page, study.notes());
    page.end();
  }
}
