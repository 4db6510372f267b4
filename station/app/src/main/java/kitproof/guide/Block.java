package kitproof.guide;

import java.util.List;

/**
 * One selector of the drawing.
 *
 * @param left the instrument; empty for none
 * @param head the group, or what is to be said of an instrument that no group switches
 * @param lines its positions; none if no group switches it
 */
record Block(String left, String head, List<Line> lines) {
  static final int LEADING = 18;
  static final int GAP = 16;
  static final int LEFT_COLUMNS = 18;
  static final int RELAY_COLUMNS = 11;
  static final int ROUTE_COLUMNS = 33;
  static final int HEAD_COLUMNS = 50;
  static final int UNIT_COLUMNS = 26;

  /**
   * One position of the selector.
   *
   * @param rest whether it stands at rest
   * @param dead whether it leads nowhere: no mains, no drive, no meter
   * @param relays what is energised
   * @param route its name
   * @param unit what of the unit it concerns
   */
  record Line(boolean rest, boolean dead, String relays, String route, String unit) {
    int rows() {
      int most = Math.max(1, Columns.of(relays, RELAY_COLUMNS).size());
      most = Math.max(most, Columns.of(route, ROUTE_COLUMNS).size());
      return Math.max(most, Columns.of(unit, UNIT_COLUMNS).size());
    }

    int height() {
      return rows() * LEADING + 4;
    }
  }

  boolean switched() {
    return !lines.isEmpty();
  }

  List<String> headRows() {
    return Columns.of(head, HEAD_COLUMNS);
  }

  List<String> leftRows() {
    return Columns.of(left, LEFT_COLUMNS);
  }

  /** Of the frames, in user units. */
  int frame() {
    int middle = headRows().size() * LEADING + 8;
    for (Line line : lines) {
      middle += line.height();
    }
    return Math.max(middle, leftRows().size() * LEADING + 12);
  }

  /** With the gap to the next. */
  int height() {
    return frame() + GAP;
  }
}
