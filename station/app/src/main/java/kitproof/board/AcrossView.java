package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * One result across the units of a batch, each unit by its last run that ended. However many there
 * are, the chart has a bounded number of points and the table one page.
 *
 * @param conditions which of {@code variants} is shown
 * @param variants all conditions under which there is a result of this name
 * @param unit of the values; empty for curves and plain numbers
 * @param units how many have the result
 * @param notPassed how many of them failed or were in the guard band
 * @param points of the chart, in the order in which units were tested; none for curves
 * @param spread null with too few values
 * @param curves those of the latest units, if the result is a curve
 * @param without units whose results are not here, or not yet
 * @param page of the units, from 0
 * @param pageSize most units on a page
 * @param values of the units on this page, the latest first
 */
public record AcrossView(
    BatchKey batch,
    String name,
    String conditions,
    List<String> variants,
    String unit,
    int units,
    int notPassed,
    List<Point> points,
    @Nullable Spread spread,
    List<Line> curves,
    int without,
    int page,
    int pageSize,
    List<Value> values) {

  /**
   * A unit, or neighbours drawn as one.
   *
   * @param from number of the first, from 1 in the order of testing
   * @param to number of the last
   * @param least of their values, or null if none is valid
   * @param mean of their values, or null
   * @param most of their values, or null
   * @param notPassed how many of them failed or were in the guard band
   * @param low the limit of the last of them, or null
   * @param high the limit of the last of them, or null
   * @param one the unit, if it is a single one
   */
  public record Point(
      int from,
      int to,
      @Nullable Double least,
      @Nullable Double mean,
      @Nullable Double most,
      int notPassed,
      @Nullable Double low,
      @Nullable Double high,
      @Nullable Value one) {}

  /**
   * One unit's.
   *
   * @param shown for people
   */
  public record Value(String unit, String run, String shown, String outcome, String limit) {}

  /** Where values lie if nothing but chance moves them. */
  public record Spread(double mean, double low, double high) {}

  /** One unit's curve. */
  public record Line(String unit, String run, String outcome, ResultView.CurveView curve) {}
}
