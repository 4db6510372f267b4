package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A judged result as it is shown.
 *
 * @param conditions for people; empty if none
 * @param value for people: a quantity, what a curve spans, or why there is none
 * @param limit for people; empty if there was none
 * @param curve null if it is none
 */
public record ResultView(
    String step,
    String name,
    String conditions,
    String outcome,
    String value,
    String limit,
    String detail,
    @Nullable CurveView curve) {

  /**
   * A curve with its mask.
   *
   * @param points it has in the station's record
   */
  public record CurveView(
      String xUnit, String yUnit, List<Double> x, List<Double> y, List<Corner> mask, int points) {}

  /** A corner of a mask; null where there is no bound. */
  public record Corner(double x, @Nullable Double low, @Nullable Double high) {}
}
