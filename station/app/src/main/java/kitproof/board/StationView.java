package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A station as it is shown. Times are milliseconds since 1970.
 *
 * @param state online (waiting for a unit), running, offline or unknown
 * @param since when it became so, or null if before this board listened
 * @param heard when it was last heard of
 * @param simulated whether its bench is
 * @param pace bench seconds per second; 0 if it is not known
 * @param uncalibrated whether its latest run is or was on a bench without a calibration that holds
 * @param running what it is at, or, if it is offline, was at; null if nothing
 * @param latest the last run that ended here; null if none is known
 * @param opening whether the unit on its bench may be opened; null if nothing was told
 * @param notices what its latest run told the operator
 */
public record StationView(
    String shop,
    String station,
    String state,
    @Nullable Long since,
    long heard,
    boolean simulated,
    double pace,
    boolean uncalibrated,
    @Nullable Running running,
    @Nullable Latest latest,
    @Nullable Opening opening,
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

  /**
   * Whether a unit may be opened.
   *
   * @param safe no, yes or unknown
   * @param reason what that rests on
   */
  public record Opening(String safe, String reason) {
    static @Nullable Opening of(Told.@Nullable Opening told) {
      return told == null ? null : new Opening(told.safe().toString(), told.reason());
    }
  }

  /** A judgement in words. */
  public record Judged(String title, String outcome, String detail) {}

  /** A run that ended. */
  public record Latest(String product, String unit, String run, String verdict, long ended) {}
}
