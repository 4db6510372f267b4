package kitproof.cli;

import kitproof.signal.FrequencyResponse;
import kitproof.signal.SweepCapture;
import kitproof.signal.SweptStimulus;

/**
 * Two captures of one sweep by one recorder, brought onto one clock and one beginning.
 *
 * @param first the linear response of the first
 * @param second that of the second
 */
record SweepPair(FrequencyResponse first, FrequencyResponse second) {
  /**
   * Two channels of one recording, or recordings that began at the same instant of the stimulus.
   */
  static SweepPair aligned(SweptStimulus sweep, double[] first, double[] second) {
    SweepCapture one = SweepCapture.of(sweep, 1, first);
    SweepCapture other = SweepCapture.of(sweep, 1, second, one.clockRatio());
    double apart = one.startSeconds() - other.startSeconds();
    return new SweepPair(one.linear(), other.linear().withoutDelay(apart));
  }

  /**
   * Recordings that began whenever they did: each one's delay is found from itself, so that a phase
   * that grows evenly with frequency between the two is lost with it.
   */
  static SweepPair fitted(SweptStimulus sweep, double[] first, double[] second) {
    SweepCapture one = SweepCapture.of(sweep, 1, first);
    return new SweepPair(
        one.linear(), SweepCapture.of(sweep, 1, second, one.clockRatio()).linear());
  }
}
