package kitproof.report;

import java.util.List;
import kitproof.cause.CauseFile;
import kitproof.cause.Suggestion;
import kitproof.journal.RunRecord;

/**
 * What the workshop needs to know of a unit that did not pass: what failed and what that usually
 * means. It goes on the bench with the unit, never into the box: a suggestion is no finding, and
 * the customer's papers do not have it.
 */
public final class WorkshopSheet extends Report {
  private static final String TITLE = "Workshop sheet";

  private final RunRecord record;
  private final List<Suggestion> causes;

  /**
   * Of a run that did not pass.
   *
   * @param causes what may be behind its failures
   */
  public WorkshopSheet(RunRecord record, List<Suggestion> causes) {
    this.record = record;
    this.causes = List.copyOf(causes);
  }

  @Override
  Sheet sheet() {
    String unit = record.product() + " " + record.unit();
    return new Sheet(TITLE, unit, unit + " \u00b7 " + TITLE + " \u00b7 not for the customer");
  }

  @Override
  void body(Markup page, boolean forPaper) {
    page.begin("div", "class", "front").element("h1", TITLE);
    page.element(
        "p", Wording.set(record.product() + ", revision " + record.revision()), "class", "product");
    page.begin("div", "class", "plate")
        .begin("div", "class", "serial")
        .element("p", "Serial number", "class", "label")
        .element("p", record.unit(), "class", "number")
        .end()
        .begin("div", "class", "verdict")
        .element("p", "Not for the customer", "class", "stamp")
        .end()
        .end();
    page.element(
        "p",
        Wording.set(
            Wording.minute(record.started())
                + ", "
                + record.station()
                + (record.reason().isEmpty() ? "" : ": " + record.reason())),
        "class",
        "note");
    causes(page);
    page.begin("div", "class", "cautions")
        .element("h3", "Caution")
        .element("p", CauseFile.CAUTION)
        .end();
    failures(page);
    page.end();
  }

  private void causes(Markup page) {
    page.element("h2", "What this usually means");
    if (causes.isEmpty()) {
      page.element("p", "The table of causes has nothing that fits.", "class", "note");
      return;
    }
    page.element(
        "p", "Suggestions, in the order of the table; none of them was proved.", "class", "note");
    for (Suggestion one : causes) {
      page.begin("div", "class", "step")
          .element(
              "h3",
              Wording.set(one.cause() + (one.where().isEmpty() ? "" : " (" + one.where() + ")")));
      if (!one.look().isEmpty()) {
        page.element("p", Wording.set(one.look()));
      }
      page.element(
              "p", Wording.set("Because of " + String.join(", ", one.because())), "class", "small")
          .end();
    }
  }

  private void failures(Markup page) {
    page.element("h2", "What failed").begin("ul");
    for (RunRecord.Step step : record.steps()) {
      for (RunRecord.Result result : step.results()) {
        if (result.judgement().outcome().fails()) {
          page.begin("li")
              .element("b", Wording.set(result.measurement().title()))
              .words(": " + Wording.set(result.judgement().detail()))
              .end();
        }
      }
    }
    page.end();
  }
}
