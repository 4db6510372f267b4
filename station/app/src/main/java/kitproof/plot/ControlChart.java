package kitproof.plot;

import java.util.List;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * A result over the units of a batch, with control limits and, apart from them, the product's own.
 *
 * @param title what it is: "gain"
 * @param subtitle batch, conditions; may be empty
 * @param unit of all figures
 * @param points in the order of measurement, at least one
 * @param lower control limit
 * @param centre line
 * @param upper control limit
 * @param low lowest good value, or null
 * @param high highest good value, or null
 * @param origin where the control limits come from, a sentence
 */
public record ControlChart(
    String title,
    String subtitle,
    Unit unit,
    List<Point> points,
    double lower,
    double centre,
    double upper,
    @Nullable Double low,
    @Nullable Double high,
    String origin) {
  /**
   * One unit, or a group of units.
   *
   * @param label its serial number, or the last one of the group
   * @param value what it measured
   * @param marks the run rules whose pattern ends here, in words; empty if none does
   */
  public record Point(String label, double value, List<String> marks) {
    public Point {
      marks = List.copyOf(marks);
    }
  }

  public ControlChart {
    points = List.copyOf(points);
    if (points.isEmpty()) {
      throw new IllegalArgumentException("a chart without a point");
    }
  }
}
