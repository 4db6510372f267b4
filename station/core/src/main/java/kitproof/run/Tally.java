package kitproof.run;

import kitproof.event.Verdict;
import org.jspecify.annotations.Nullable;

/** What a run has come to so far: the worst that happened, and the first reason for it. */
final class Tally {
  private Verdict verdict = Verdict.PASS;
  private String reason = "";
  private boolean stopAfterFailure;

  Verdict verdict() {
    return verdict;
  }

  String reason() {
    return reason;
  }

  /** Whether no further step begins, but for the shut-down. */
  boolean mustStop() {
    return stopAfterFailure || verdict == Verdict.ABORTED || verdict == Verdict.ERROR;
  }

  void failed(String why) {
    raise(Verdict.FAIL, why);
  }

  void stopAfterFailure() {
    stopAfterFailure = true;
  }

  /** The station failed. Returns why. */
  String error(String why) {
    raise(Verdict.ERROR, why);
    return why;
  }

  /**
   * The run was stopped. Returns why.
   *
   * @param where empty if that says nothing
   */
  String stopped(StopSwitch.@Nullable Cause cause, String where) {
    String reason = cause == null ? "interrupted" : cause.reason();
    String full = where.isEmpty() ? reason : reason + ", " + where;
    raise(cause == null || cause.stationAtFault() ? Verdict.ERROR : Verdict.ABORTED, full);
    return full;
  }

  /** Verdicts stand in the order of their weight: pass, fail, aborted, error. */
  private void raise(Verdict to, String why) {
    if (to.compareTo(verdict) > 0) {
      verdict = to;
      reason = why;
    }
  }
}
