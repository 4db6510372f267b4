package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * One result across the units of a batch, each unit by its last attempt or, without one, its last
 * run. However many there are, the chart has a bounded number of points and the table one page.
 *
 * @param conditions which of {@code variants} is shown
 * @param variants all conditions under which there is a result of this name
 * @param unit of the values; empty for curves and plain numbers
 * @param units how many have the result
 * @param notPassed how many of them failed or were in the guard band
 * @param firstFailed in how many units a result of this name, under whichever conditions, failed in
 *     the first run: what the Pareto chart counts
 * @param points of the chart, in the order in which units were tested; none for curves
 * @param guarded the limits less the guard bands of the latest unit; null if it has none
 * @param statistics null for curves and with too few values
 * @param curves those of the latest units, if the result is a curve
 * @param standards what drift of the station could be told by: serial numbers of check standards
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
    int firstFailed,
    List<Point> points,
    @Nullable Guarded guarded,
    @Nullable Statistics statistics,
    List<Line> curves,
    List<String> standards,
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
   * @param firstFailed whether a result of this name failed in the unit's first run
   * @param uncalibrated whether it was measured on a bench without a calibration that holds
   */
  public record Value(
      String unit,
      String run,
      String shown,
      String outcome,
      String limit,
      boolean firstFailed,
      boolean uncalibrated) {}

  /** Where a value is surely good; null where there is no limit. */
  public record Guarded(@Nullable Double low, @Nullable Double high) {}

  /**
   * What the values tell.
   *
   * @param centre of the individuals chart; null with too few values
   * @param low its lower control limit
   * @param high its upper control limit
   * @param facts figures in words
   * @param remarks what is worth a look
   * @param warnings why the figures may mislead
   * @param marks units at which a run rule's pattern ends
   * @param groups chart of means and ranges; null with too few values
   * @param against what the values may go with
   * @param drifts of station and units told apart by check standards
   */
  public record Statistics(
      @Nullable Double centre,
      @Nullable Double low,
      @Nullable Double high,
      List<Fact> facts,
      List<String> remarks,
      List<String> warnings,
      List<Mark> marks,
      @Nullable GroupsView groups,
      List<AgainstView> against,
      List<Drift> drifts) {}

  /**
   * Whose a drift is at one station.
   *
   * @param words the whole of it, for people
   */
  public record Drift(String station, String whose, String words) {}

  /**
   * A figure.
   *
   * @param more how sure it is; may be empty
   */
  public record Fact(String word, String value, String more) {}

  /**
   * A unit that stands out.
   *
   * @param number in the order of testing, from 1
   */
  public record Mark(int number, List<String> rules) {}

  /** The same with what its values tell. */
  AcrossView with(@Nullable Statistics known) {
    return with(known, standards);
  }

  /** The same with check standards to choose from. */
  AcrossView with(List<String> offered) {
    return with(statistics, offered);
  }

  private AcrossView with(@Nullable Statistics known, List<String> offered) {
    return new AcrossView(
        batch,
        name,
        conditions,
        variants,
        unit,
        units,
        notPassed,
        firstFailed,
        points,
        guarded,
        known,
        curves,
        offered,
        without,
        page,
        pageSize,
        values);
  }

  /** One unit's curve. */
  public record Line(String unit, String run, String outcome, ResultView.CurveView curve) {}
}
