package kitproof.guide;

import java.util.List;
import kitproof.report.Markup;

/** Draws selectors below one another: 1000 user units wide, letters 9 wide. */
final class Sheet {
  private static final int LEFT = 2;
  private static final int LEFT_WIDTH = 178;
  private static final int MIDDLE = 215;
  private static final int MIDDLE_WIDTH = 500;
  private static final int BUS = 232;
  private static final int CONTACT = 274;
  private static final int RELAYS = 288;
  private static final int ROUTE = 400;
  private static final int RIGHT = 745;
  private static final int RIGHT_WIDTH = 253;

  private final Markup page;

  Sheet(Markup page) {
    this.page = page;
  }

  void write(List<Block> blocks) {
    int height = Block.LEADING + 10;
    for (Block block : blocks) {
      height += block.height();
    }
    page.begin(
        "svg",
        "class",
        "sheet",
        "viewBox",
        "0 0 1000 " + height,
        "role",
        "img",
        "aria-label",
        "Instruments, groups of routes and the unit");
    words(LEFT, Block.LEADING, "Instruments", "head");
    words(MIDDLE, Block.LEADING, "Relays and routes", "head");
    words(RIGHT, Block.LEADING, "Unit", "head");
    int top = Block.LEADING + 10;
    for (Block block : blocks) {
      block(block, top);
      top += block.height();
    }
    page.end();
  }

  private void block(Block block, int top) {
    int entry = top + Block.LEADING;
    if (!block.left().isEmpty()) {
      frame(LEFT, top, LEFT_WIDTH, block.leftRows().size() * Block.LEADING + 12);
      lines(LEFT + 8, entry, block.leftRows(), "");
    }
    lines(MIDDLE + 8, entry, block.headRows(), block.switched() ? "head" : "");
    if (block.switched()) {
      selector(block, top);
    }
  }

  private void selector(Block block, int top) {
    frame(MIDDLE, top, MIDDLE_WIDTH, block.frame());
    frame(RIGHT, top, RIGHT_WIDTH, block.frame());
    if (!block.left().isEmpty()) {
      line(LEFT + LEFT_WIDTH, top + Block.LEADING - 5, MIDDLE, top + Block.LEADING - 5);
    }
    int y = top + block.headRows().size() * Block.LEADING + 4;
    int first = y + Block.LEADING - 5;
    int last = first;
    for (Block.Line line : block.lines()) {
      int base = y + Block.LEADING;
      last = base - 5;
      position(line, base);
      lines(RIGHT + 9, base, Columns.of(line.unit(), Block.UNIT_COLUMNS), "");
      y += line.height();
    }
    line(BUS, first, BUS, last);
  }

  private void position(Block.Line line, int base) {
    int middle = base - 5;
    line(BUS, middle, BUS + 10, middle);
    if (line.rest()) {
      line(BUS + 10, middle, CONTACT, middle);
    } else {
      line(BUS + 10, middle, CONTACT - 14, middle - 9);
      line(CONTACT - 10, middle, CONTACT, middle);
    }
    dot(BUS + 10, middle);
    dot(CONTACT - 10, middle);
    String relays = line.relays().isEmpty() ? "at rest" : line.relays();
    lines(RELAYS, base, Columns.of(relays, Block.RELAY_COLUMNS), "relay");
    lines(ROUTE, base, Columns.of(line.route(), Block.ROUTE_COLUMNS), "");
    if (line.dead()) {
      line(CONTACT, middle - 6, CONTACT, middle + 6);
    } else {
      line(MIDDLE + MIDDLE_WIDTH, middle, RIGHT, middle);
    }
  }

  private void lines(int x, int y, List<String> rows, String kind) {
    for (int i = 0; i < rows.size(); i++) {
      words(x, y + i * Block.LEADING, rows.get(i), kind);
    }
  }

  private void words(int x, int y, String words, String kind) {
    page.element("text", words, "x", text(x), "y", text(y), "class", kind);
  }

  private void frame(int x, int y, int width, int height) {
    page.begin("rect", "x", text(x), "y", text(y), "width", text(width), "height", text(height))
        .end();
  }

  private void line(int x, int y, int toX, int toY) {
    page.begin("line", "x1", text(x), "y1", text(y), "x2", text(toX), "y2", text(toY)).end();
  }

  private void dot(int x, int y) {
    page.begin("circle", "cx", text(x), "cy", text(y), "r", "2.5").end();
  }

  private static String text(int number) {
    return Integer.toString(number);
  }
}
