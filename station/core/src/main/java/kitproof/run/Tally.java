package kitproof.run;

import kitproof.event.Verdict;

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

  void aborted(String why) {
    raise(Verdict.ABORTED, why);
  }

  void error(String why) {
    raise(Verdict.ERROR, why);
  }

  /** Verdicts stand in the order of their weight: pass, fail, aborted, error. */
  private void raise(Verdict to, String why) {
    if (to.compareTo(verdict) > 0) {
      verdict = to;
      reason = why;
    }
  }
}
