package kitproof.screen;

import java.util.List;
import kitproof.cause.Suggestion;
import org.jspecify.annotations.Nullable;

/**
 * A run as the operator sees it.
 *
 * @param attempt which test of this unit it is, from 1
 * @param started milliseconds
 * @param ended milliseconds; null while it goes on
 * @param index the step in progress, from 0; -1 if there is none
 * @param steps how many there are
 * @param step its name
 * @param conditions what it holds under; may be empty
 * @param share how much of the run is done, from 0 to 1
 * @param leftSeconds how long it may still take, bench time
 * @param stopping whether it has been asked to stop
 * @param discharging whether mains is off for good and the discharge is watched
 * @param live what the step in progress reads or hears; empty if nothing yet
 * @param question what the person is asked, or null
 * @param passed how many results
 * @param failed how many results
 * @param others results without a limit
 * @param results the latest first, a few
 * @param failures what failed, in order, the first ones
 * @param notices what the operator should know
 * @param uncalibrated whether the bench has no calibration that holds
 * @param calibrates whether this run is to give it one
 * @param verdict null while it goes on
 * @param reason why, if not pass
 * @param causes what a failure usually means
 */
record RunView(
    String run,
    String unit,
    String batch,
    String product,
    String revision,
    String plan,
    int attempt,
    long started,
    @Nullable Long ended,
    int index,
    int steps,
    String step,
    String conditions,
    double share,
    double leftSeconds,
    boolean stopping,
    boolean discharging,
    List<LiveView> live,
    @Nullable QuestionView question,
    int passed,
    int failed,
    int others,
    List<ResultView> results,
    List<ResultView> failures,
    List<String> notices,
    boolean uncalibrated,
    boolean calibrates,
    @Nullable String verdict,
    String reason,
    List<Suggestion> causes) {

  /** A result with its judgement, in words. */
  record ResultView(
      String title,
      String step,
      String value,
      String uncertainty,
      String limit,
      String outcome,
      String detail) {}

  /**
   * A reading against its limits.
   *
   * @param source meter and function
   * @param value for people; why there is none, if there is none
   * @param low empty if there is no such limit
   * @param high empty if there is no such limit
   * @param where "inside", "too low", "too high"; empty if that cannot be told
   * @param at its place between two ends that lie beyond the limits, from 0 to 1
   * @param from the place of the low limit
   * @param to the place of the high limit
   */
  record LiveView(
      String source,
      String value,
      String low,
      String high,
      String where,
      @Nullable Double at,
      @Nullable Double from,
      @Nullable Double to) {}

  /**
   * A question.
   *
   * @param number to answer it by; null if somebody else than the person at this screen is asked
   * @param kind "confirm", "entry" or "adjust"
   * @param expected what can be answered
   * @param unit of an entry
   * @param control what is turned
   * @param bar the reading of an adjustment against its window
   * @param settledSeconds how long it has stayed inside
   * @param dwellSeconds how long it has to
   */
  record QuestionView(
      @Nullable Long number,
      String kind,
      String text,
      String caution,
      String expected,
      String unit,
      String control,
      @Nullable LiveView bar,
      double settledSeconds,
      double dwellSeconds) {}
}
