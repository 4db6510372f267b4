package kitproof.report;

import java.util.ArrayList;
import java.util.List;

/** The figures of the front page: modes side by side, in each its channels. */
final class HeadlineTable {
  private final Markup page;
  private final Headline headline;

  HeadlineTable(Markup page, Headline headline) {
    this.page = page;
    this.headline = headline;
  }

  void write() {
    if (headline.rows().isEmpty()) {
      return;
    }
    String tap = headline.tap();
    page.element(
        "h2", tap.isEmpty() ? "In short" : Wording.set("In short, on the " + tap + " tap"));
    page.begin("table", "class", "headline").begin("thead");
    head();
    page.end().begin("tbody");
    headline.rows().forEach(this::row);
    page.end().end();
  }

  private void head() {
    boolean modes = headline.modes().stream().anyMatch(m -> !m.isEmpty());
    boolean channels = headline.channels().stream().anyMatch(c -> !c.isEmpty());
    String each = String.valueOf(headline.channels().size());
    if (modes) {
      String corner = channels ? "figure corner" : "figure";
      page.begin("tr").element("th", channels ? "" : legend(), "class", corner);
      for (String mode : headline.modes()) {
        page.element("th", Wording.capital(mode), "colspan", each, "class", "group");
      }
      page.end();
    }
    if (channels) {
      page.begin("tr").element("th", legend(), "class", "figure");
      headline.modes().forEach(m -> headline.channels().forEach(c -> page.element("th", c)));
      page.end();
    }
    if (!modes && !channels) {
      page.begin("tr").element("th", legend(), "class", "figure").element("th", "Value").end();
    }
  }

  /** What holds for several rows, and what a dash means. */
  private String legend() {
    List<String> words = new ArrayList<>();
    if (!headline.tone().isEmpty()) {
      words.add(Wording.set("Tones at " + headline.tone()));
    }
    if (headline.rows().stream()
        .flatMap(row -> row.cells().stream())
        .anyMatch(cell -> cell.text().isEmpty())) {
      words.add("dash: not measured");
    }
    return words.isEmpty() ? "Figure" : String.join(" \u00b7 ", words);
  }

  private void row(Headline.Row row) {
    page.begin("tr").begin("th").words(row.label());
    if (!row.note().isEmpty()) {
      page.words(" ").element("span", row.note(), "class", "small");
    }
    page.end();
    row.cells().forEach(this::cell);
    page.end();
  }

  private void cell(Headline.Cell cell) {
    boolean none = cell.text().isEmpty();
    String place = cell.columns() > 1 ? "across" : "one";
    page.element(
        "td",
        none ? "\u2013" : cell.text(),
        "colspan",
        String.valueOf(cell.columns()),
        "class",
        none ? place + " none" : place);
  }
}
