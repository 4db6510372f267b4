package kitproof.guide;

import java.time.Duration;
import java.util.List;
import kitproof.report.Markup;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Writes tables. */
final class Table {
  private static final char NO_BREAK = '\u00a0';

  private Table() {}

  /** Begins a table and its head; bodies of rows follow, then {@link Markup#end}. */
  static void begin(Markup page, String kind, List<String> heads) {
    page.begin("table", "class", kind).begin("thead").begin("tr");
    heads.forEach(head -> page.element("th", head, "scope", "col"));
    page.end().end();
  }

  /** One row; the first cell is its head. */
  static void row(Markup page, String first, List<String> cells) {
    page.begin("tr").element("th", first, "scope", "row");
    cells.forEach(cell -> cell(page, cell));
    page.end();
  }

  /** A cell; one that holds a value alone is never broken. */
  static void cell(Markup page, String words) {
    boolean value = words.indexOf(NO_BREAK) >= 0 && words.indexOf(' ') < 0;
    if (value) {
      page.element("td", words, "class", "value");
    } else {
      page.element("td", words);
    }
  }

  /** A cell with a box to tick. */
  static void box(Markup page) {
    page.begin("td", "class", "tick").element("span", "", "class", "box").end();
  }

  /** The words, or a dash if there are none. */
  static String orDash(String words) {
    return words.isEmpty() ? "\u2013" : words;
  }

  /** "8.02 ohm", kept on one line. */
  static String value(Quantity quantity) {
    return quantity.display(6).replace(' ', NO_BREAK);
  }

  /** "30 ms", "1.5 s", kept on one line. */
  static String time(Duration time) {
    return value(Quantity.of(time.toNanos() / 1e9, Unit.SECOND));
  }
}
