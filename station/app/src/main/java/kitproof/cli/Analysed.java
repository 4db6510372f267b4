package kitproof.cli;

import java.io.PrintWriter;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Predicate;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/** Measurements of saved captures as they are printed. */
final class Analysed {
  private static final int LEAST_WIDTH = 20;

  private Analysed() {}

  /**
   * Prints them.
   *
   * @param keep done first, so that a file that cannot be written is told before anything else
   * @param matters which of them must not be invalid: that nothing rings is no bad input
   * @return the exit code: bad input if any that matters is invalid
   */
  static int tell(
      PrintWriter out,
      boolean json,
      List<Measurement> found,
      Runnable keep,
      Predicate<Measurement> matters) {
    keep.run();
    if (json) {
      Printed.json(out, Map.of("results", found.stream().map(Analysed::tree).toList()));
    } else {
      int width = found.stream().mapToInt(m -> m.name().length()).max().orElse(0);
      for (Measurement m : found) {
        out.println(line(m, Math.max(LEAST_WIDTH, width)));
        if (!m.note().isEmpty()) {
          out.println("  note: " + m.note());
        }
      }
      out.flush();
    }
    boolean good =
        found.stream().noneMatch(m -> matters.test(m) && m.figure() instanceof Figure.Invalid);
    return good ? ExitCodes.GOOD : ExitCodes.BAD_INPUT;
  }

  /**
   * For people; of a curve its lowest and its highest.
   *
   * @param width of the names
   */
  private static String line(Measurement m, int width) {
    return String.format(
            Locale.ROOT, "%-" + width + "s %-28s %s", m.name(), figure(m.figure()), m.conditions())
        .stripTrailing();
  }

  static String figure(Figure figure) {
    if (figure instanceof Figure.OfQuantity q) {
      return q.quantity().display(6);
    }
    if (figure instanceof Figure.Invalid invalid) {
      return "invalid: " + invalid.reason();
    }
    Curve curve = ((Figure.OfCurve) figure).curve();
    double low = curve.y(0);
    double high = curve.y(0);
    for (double y : curve.ys()) {
      low = Math.min(low, y);
      high = Math.max(high, y);
    }
    return String.format(
        Locale.ROOT,
        "%.5g to %.5g %s (%d points)",
        low,
        high,
        curve.yUnit().symbol(),
        curve.size());
  }

  /** For programs. */
  static Map<String, Object> tree(Measurement m) {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("name", m.name());
    if (m.figure() instanceof Figure.OfQuantity q) {
      fields.put("value", q.quantity().value());
      fields.put("unit", q.quantity().unit().symbol());
    } else if (m.figure() instanceof Figure.OfCurve c) {
      fields.put("x", c.curve().xs());
      fields.put("x-unit", c.curve().xUnit().symbol());
      fields.put("y", c.curve().ys());
      fields.put("unit", c.curve().yUnit().symbol());
    } else if (m.figure() instanceof Figure.Invalid invalid) {
      fields.put("value", null);
      fields.put("unit", "");
      fields.put("invalid", invalid.reason());
    }
    fields.put("conditions", m.conditions().values());
    if (!m.note().isEmpty()) {
      fields.put("note", m.note());
    }
    return fields;
  }
}
