package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A station as it is shown. Times are milliseconds since 1970.
 *
 * @param state online (waiting for a unit), running, offline or unknown
 * @param since when it became so, or null if before this board listened
 * @param heard when it was last heard of
 * @param pace bench seconds per second
 * @param running what it is at, or, if it is offline, was at; null if nothing
 * @param latest the last run that ended here; null if none is known
 * @param notices whether its unit must not be opened, and what its latest run told the operator
 */
public record StationView(
    String shop,
    String station,
    String state,
    @Nullable Long since,
    long heard,
    double pace,
    @Nullable Running running,
    @Nullable Latest latest,
    List<String> notices) {

  /**
   * A run going on.
   *
   * @param index of the step, from 0; -1 before the first
   * @param progress by expected time, 0 to 1
   * @param remaining seconds, or null if unknown
   * @param judged the latest judgement
   */
  public record Running(
      String product,
      String unit,
      String batch,
      String run,
      String step,
      int index,
      int steps,
      double progress,
      @Nullable Long remaining,
      @Nullable Judged judged) {}

  /** A judgement in words. */
  public record Judged(String title, String outcome, String detail) {}

  /** A run that ended. */
  public record Latest(String product, String unit, String run, String verdict, long ended) {}
}
