package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A batch as it is shown. Times are milliseconds since 1970, yields 0 to 1.
 *
 * @param planned units it will have, 0 if unknown
 * @param tested units with a run that says something of them
 * @param firstPassed of these, passed in their first run
 * @param passed of these, passed in their last run
 * @param perHour units, or null if there are too few to tell
 * @param left units to come, or null if unknown
 * @param ends when the last of them is expected, or null
 * @param lateSeconds how long no unit has finished, if that is much longer than usual; or null
 * @param failures what fails most, the largest first
 * @param finished how many units have a run that ended
 * @param page of units, from 0
 * @param pageSize most units on a page
 * @param units the latest first
 */
public record BatchView(
    BatchKey key,
    int planned,
    int tested,
    int firstPassed,
    int passed,
    double firstPassYield,
    double finalYield,
    @Nullable Double perHour,
    @Nullable Integer left,
    @Nullable Long ends,
    @Nullable Long lateSeconds,
    List<Failure> failures,
    int finished,
    int page,
    int pageSize,
    List<Unit> units) {

  /**
   * A row of the Pareto chart.
   *
   * @param name of a result without conditions
   * @param result false for the row of units that were aborted before a result could fail
   * @param cumulative share up to this row, 0 to 1
   */
  public record Failure(String name, boolean result, int units, double cumulative) {}

  /**
   * A unit that has finished.
   *
   * @param runs how many it has had
   * @param failed names of failed results, without conditions
   * @param uncalibrated whether its last run was on a bench without a calibration that holds
   */
  public record Unit(
      String unit,
      String run,
      String station,
      String verdict,
      String reason,
      List<String> failed,
      int runs,
      boolean uncalibrated,
      long ended) {}
}
