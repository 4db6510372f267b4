package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * One result across the units of a batch, in the order in which they were tested.
 *
 * @param conditions which of {@code variants} is shown
 * @param variants all conditions under which there is a result of this name
 * @param unit of the values; empty for curves and plain numbers
 * @param values one for each unit that has the result
 * @param spread null with too few values
 * @param curves those of the latest units, if the result is a curve
 * @param without units whose results are not here any more
 */
public record AcrossView(
    BatchKey batch,
    String name,
    String conditions,
    List<String> variants,
    String unit,
    List<Value> values,
    @Nullable Spread spread,
    List<Line> curves,
    int without) {

  /**
   * One unit's.
   *
   * @param value null if it is a curve or not valid
   * @param shown for people
   * @param low the limit then, or null
   * @param high the limit then, or null
   */
  public record Value(
      String unit,
      String run,
      @Nullable Double value,
      String shown,
      String outcome,
      String limit,
      @Nullable Double low,
      @Nullable Double high) {}

  /** Where values lie if nothing but chance moves them. */
  public record Spread(double mean, double low, double high) {}

  /** One unit's curve. */
  public record Line(String unit, String run, String outcome, ResultView.CurveView curve) {}
}
