package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A unit's runs, and the results of one of them. Times are milliseconds since 1970.
 *
 * @param runs the latest first
 * @param run whose results follow
 * @param started in the bench's time
 * @param ended in the bench's time; null while it goes on
 * @param finished when that was by the calendar, of a simulated bench; else null
 * @param verdict null while it goes on
 * @param opening whether it may be opened, as last told; null if nothing was told
 * @param uncalibrated whether the run is on a bench without a calibration that holds
 * @param partial whether results may have been told before this board listened
 * @param missing results that were told and are not here
 */
public record UnitView(
    String shop,
    String product,
    String unit,
    String batch,
    String revision,
    String plan,
    List<RunLine> runs,
    String run,
    String station,
    @Nullable Long started,
    @Nullable Long ended,
    @Nullable Long finished,
    @Nullable String verdict,
    String reason,
    List<String> failed,
    List<String> notices,
    StationView.@Nullable Opening opening,
    boolean uncalibrated,
    boolean partial,
    int missing,
    List<ResultView> results) {

  /**
   * One of the runs.
   *
   * @param verdict null while it goes on
   */
  public record RunLine(
      String run, String station, @Nullable String verdict, @Nullable Long started) {}
}
