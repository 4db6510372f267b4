package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A judged result as it is shown.
 *
 * @param conditions for people; empty if none
 * @param value for people: a quantity, what a curve spans, or why there is none
 * @param uncertainty for people, with its coverage factor; of a curve the widest; empty if it is
 *     not known here
 * @param limit for people; empty if there was none
 * @param guard how wide a guard band was kept within it, for people; empty if none
 * @param note what a reader of the figure must know; may be empty
 * @param curve null if it is none
 */
public record ResultView(
    String step,
    String name,
    String conditions,
    String outcome,
    String value,
    String uncertainty,
    String limit,
    String guard,
    String detail,
    String note,
    @Nullable CurveView curve) {

  /**
   * A curve with its mask.
   *
   * @param guard how wide the guard band is at the point that decided; null if there is none
   * @param points it has in the station's record
   */
  public record CurveView(
      String xUnit,
      String yUnit,
      List<Double> x,
      List<Double> y,
      List<Corner> mask,
      @Nullable Guard guard,
      int points) {}

  /** Widths above the low and below the high limit. */
  public record Guard(double low, double high) {}

  /** A corner of a mask; null where there is no bound. */
  public record Corner(double x, @Nullable Double low, @Nullable Double high) {}
}
