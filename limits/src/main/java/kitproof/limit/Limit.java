package kitproof.limit;

import java.util.List;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** What a result is judged against. */
public sealed interface Limit {
  /**
   * For a single quantity; at least one end is given.
   *
   * @param low lowest good value, or null
   * @param high highest good value, or null
   */
  record Scalar(@Nullable Quantity low, @Nullable Quantity high) implements Limit {}

  /**
   * For a curve: points joined by straight lines, on a logarithmic axis where x is a frequency.
   *
   * @param points with x rising; the mask says nothing beyond its first and last point
   */
  record Mask(List<Point> points) implements Limit {
    public Mask {
      points = List.copyOf(points);
    }
  }

  /**
   * One corner of a mask.
   *
   * @param at on the curve's x axis
   * @param low lowest good value there, or null if there is none up to the next point that has one
   * @param high highest good value there, or null likewise
   */
  record Point(Quantity at, @Nullable Quantity low, @Nullable Quantity high) {}
}
