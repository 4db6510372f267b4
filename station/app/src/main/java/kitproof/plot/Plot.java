package kitproof.plot;

import java.util.List;
import kitproof.limit.Limit;
import kitproof.value.Curve;

/**
 * Curves of one kind over one another, with their masks.
 *
 * @param title what they are: "frequency response"
 * @param subtitle what they all share: unit, conditions; may be empty
 * @param lines at least one, all of the same units
 */
public record Plot(String title, String subtitle, List<Line> lines) {
  /**
   * One curve.
   *
   * @param label what sets it apart from the others; empty if there are none
   * @param masks what it was judged against; empty if it was not
   * @param guards where its guard bands end inside those; empty with simple acceptance
   */
  public record Line(String label, Curve curve, List<Limit.Mask> masks, List<Curve> guards) {
    public Line {
      masks = List.copyOf(masks);
      guards = List.copyOf(guards);
    }

    /** One that was not guarded. */
    public Line(String label, Curve curve, List<Limit.Mask> masks) {
      this(label, curve, masks, List.of());
    }
  }

  public Plot {
    lines = List.copyOf(lines);
    if (lines.isEmpty()) {
      throw new IllegalArgumentException("a plot without a curve");
    }
    Curve first = lines.get(0).curve();
    for (Line line : lines) {
      Curve curve = line.curve();
      if (curve.xUnit() != first.xUnit() || curve.yUnit() != first.yUnit()) {
        throw new IllegalArgumentException(curve + " beside " + first);
      }
    }
  }
}
