package kitproof.driver.audio;

/**
 * How far the frames that have come in are ahead of the clock, so that those that never come are
 * missed.
 *
 * <p>Frames come in bunches and a busy program fetches them late, so that one look says little. But
 * of a while the most timely ones are as far ahead as they ever were, unless some were lost: then
 * all that come after are behind by as many, for good. The sound API itself is of no use here: its
 * positions leave out what was lost.
 */
final class CaptureClock {
  private static final long WHILE_NANOS = 500_000_000;
  private static final double NOTHING = Double.NEGATIVE_INFINITY;

  private final double rate;
  private long began = Long.MIN_VALUE;
  private double before = NOTHING;
  private double now = NOTHING;

  /**
   * @param rate frames per second
   */
  CaptureClock(double rate) {
    this.rate = rate;
  }

  /** So many frames have come in, all together, at this time. */
  void came(long nanos, long frames) {
    if (began == Long.MIN_VALUE) {
      began = nanos;
    } else if (nanos - began > WHILE_NANOS) {
      began = nanos;
      before = now;
      now = NOTHING;
    }
    now = Math.max(now, frames - nanos * (rate / 1e9));
  }

  /** Of the last while, a second at most: frames ahead of the clock, from a zero of its own. */
  double ahead() {
    return Math.max(before, now);
  }

  /** From here on only what comes in now counts. */
  void forget() {
    began = Long.MIN_VALUE;
    before = NOTHING;
    now = NOTHING;
  }
}
