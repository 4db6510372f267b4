package kitproof.board;

import java.time.Instant;
import java.util.List;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/** A message that was understood. */
sealed interface Told {
  /**
   * Where a run belongs.
   *
   * @param run its name
   */
  record Place(String shop, String station, String run, String product, String unit) {}

  /**
   * What kind of amplifier, and which batch of it.
   *
   * @param batch empty if none
   */
  record Kind(String revision, String batch, String plan) {}

  /**
   * What a station is doing.
   *
   * @param state online, running or offline
   * @param time of what it says; null if it does not say
   * @param planned units in the batch; 0 if unknown
   * @param uncalibrated whether its run is on a bench without a calibration that holds
   * @param simulated whether its bench is
   * @param pace bench seconds per second; 0 if it does not say
   * @param running null if no run is going on
   * @param opening of the unit on the bench; null if nothing has been told
   */
  record OfStatus(
      String shop,
      String station,
      String state,
      @Nullable Instant time,
      int planned,
      boolean uncalibrated,
      boolean simulated,
      double pace,
      @Nullable Running running,
      @Nullable Opening opening)
      implements Told {}

  /**
   * Whether a unit may be opened.
   *
   * @param unit empty if it is not known which
   * @param reason what that rests on, in words
   */
  record Opening(String unit, SafeToOpen safe, String reason) {}

  /**
   * A run going on.
   *
   * @param index of the step going on; -1 before the first
   * @param step with its conditions, for people; empty before the first
   * @param expected bench seconds of the whole run
   * @param behind bench seconds of the steps before this one
   * @param last the latest judgement; null before the first
   */
  record Running(
      Place place,
      Kind kind,
      @Nullable Instant started,
      int index,
      int steps,
      String step,
      double expected,
      double behind,
      @Nullable Judged last) {}

  /** A result's title, the outcome in a word, and why. */
  record Judged(String title, Judgement.Outcome outcome, String detail) {}

  /** An entry of a run. */
  record OfEntry(Place place, long sequence, Instant time, Event event) implements Told {}

  /**
   * A run that has ended, whole, or its verdict alone.
   *
   * @param ended in the bench's time
   * @param finished when that was by the calendar; null of a bench whose time is the calendar's
   * @param planned units in its batch; 0 if it does not say
   * @param opening null if nothing was told of it
   * @param uncalibrated whether it was on a bench without a calibration that holds
   * @param check whether the station measured its check standard
   * @param count how many results the station has of it
   * @param results in brief; empty if it is the verdict alone
   * @param details the results, not read yet; null if it is the verdict alone
   */
  record OfRecord(
      Place place,
      Kind kind,
      Instant started,
      Instant ended,
      @Nullable Instant finished,
      Verdict verdict,
      String reason,
      List<String> failed,
      List<String> notices,
      int planned,
      @Nullable Opening opening,
      boolean uncalibrated,
      boolean check,
      int count,
      List<Brief.Result> results,
      @Nullable Details details)
      implements Told {}

  /**
   * A judged result as it is kept.
   *
   * @param points of the curve in the station's record; 0 if all are here
   */
  record Held(String step, Measurement measurement, Judgement judgement, int points) {}
}
