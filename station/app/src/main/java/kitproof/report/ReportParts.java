package kitproof.report;

import java.util.List;
import org.jspecify.annotations.Nullable;

/** Parts that reports on many runs, of a batch or a gauge study, have alike. */
final class ReportParts {
  private ReportParts() {}

  /**
   * The head of the first page and its plate, left open for what else belongs on it.
   *
   * @param maker null if the maker is not to be named
   * @param product empty if it is of several
   * @param kind "Batch" or "Study"
   * @param name of the batch or study
   */
  static void beginFront(
      Markup page, @Nullable Maker maker, String title, String product, String kind, String name) {
    page.begin("div", "class", "front");
    if (maker != null) {
      Sheet.letterhead(page, maker);
    }
    page.element("h1", title);
    if (!product.isEmpty()) {
      page.element("p", Wording.set(product), "class", "product");
    }
    page.begin("div", "class", "plate")
        .begin("div", "class", "serial")
        .element("p", kind, "class", "label")
        .element("p", name, "class", "number")
        .end();
  }

  /** A share on the plate: a large figure and what it is of. */
  static void share(Markup page, String label, String figure, String words) {
    page.begin("div", "class", "share")
        .element("p", label, "class", "label")
        .element("p", Wording.set(figure), "class", "number")
        .element("p", Wording.set(words), "class", "small")
        .end();
  }

  /** Facts, name and value by turns. */
  static void facts(Markup page, List<String> facts) {
    page.begin("dl", "class", "facts");
    for (int i = 0; i + 1 < facts.size(); i += 2) {
      page.begin("div")
          .element("dt", facts.get(i))
          .element("dd", Wording.set(facts.get(i + 1)))
          .end();
    }
    page.end();
  }

  /**
   * Remarks, one a line; nothing if there are none.
   *
   * @param between what stands between the words of one remark
   */
  static void remarks(Markup page, List<BatchSheet.Remark> remarks, String between) {
    if (remarks.isEmpty()) {
      return;
    }
    page.begin("ul");
    for (BatchSheet.Remark remark : remarks) {
      page.begin("li")
          .element("b", Wording.set(remark.of()))
          .words(": " + Wording.set(String.join(between, remark.words())))
          .end();
    }
    page.end();
  }

  /** A part of its own with drawings; nothing if there are none. */
  static void charts(
      Markup page, String title, String note, List<BatchSheet.Chart> charts, boolean forPaper) {
    if (charts.isEmpty()) {
      return;
    }
    page.begin("div", "class", "part").element("h2", title);
    page.element("p", note, "class", "note");
    charts.forEach(c -> Sheet.picture(page, c.svg(), c.shown(), forPaper));
    page.end();
  }

  /**
   * Begins a table, its columns' heads written, and its body.
   *
   * @param kind classes of the table
   * @param columns head and class of each
   */
  static void beginTable(Markup page, String kind, List<Column> columns) {
    page.begin("table", "class", kind).begin("thead").begin("tr");
    for (Column column : columns) {
      page.element("th", column.head(), "class", column.kind(), "scope", "col");
    }
    page.end().end().begin("tbody");
  }

  /** A column of a table: what stands above it, and its class. */
  record Column(String head, String kind) {}

  /** Ends the table's body and the table, and says how its figures are to be read. */
  static void endTable(Markup page, List<String> notes) {
    page.end().end();
    notes.forEach(note -> page.element("p", Wording.set(note), "class", "note"));
  }
}
