package kitproof.procedure;

import kitproof.signal.Band;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Unit;

/**
 * How well a quasi-peak meter reads steady noise. What stands here was found with white noise drawn
 * at random, through the weighting and the meter of this program; a test draws it again.
 */
final class QuasiPeakTrust {
  /** What the meter reads of noise over its rms. */
  static final double OF_NOISE = 1.63;

  /** The meter remembers about so long: noise within that is one value of its reading, seconds. */
  private static final double MEMORY = 0.3;

  /** No wider a band of noise passes the network. */
  private static final double WIDEST_HERTZ = 8000;

  /** Its readings of tone bursts are so near the recommendation's, dB. */
  private static final double BURSTS_DB = 0.2;

  /** What is missing after one second; with the power of 3/2 less after longer. */
  private static final double MISSING_AFTER_A_SECOND = 0.02;

  private QuasiPeakTrust() {}

  /**
   * Of a reading.
   *
   * @param seconds listened to
   */
  static Factor reading(Band band, double seconds) {
    double bandwidth = Math.min(WIDEST_HERTZ, band.highHz() - band.lowHz());
    return Factor.relative(
            "noise in the meter's memory",
            Evaluation.TYPE_A,
            1 / (2 * Math.sqrt(Math.max(1, bandwidth * MEMORY))),
            Double.POSITIVE_INFINITY)
        .times(
            Factor.decibels(
                Contribution.within(
                    "readings of tone bursts of the quasi-peak meter",
                    Distribution.RECTANGULAR,
                    BURSTS_DB,
                    Unit.DECIBEL)))
        .times(
            Factor.of(
                Contribution.known(
                        "time listened to",
                        Distribution.OFFSET,
                        100 * MISSING_AFTER_A_SECOND / Math.pow(seconds, 1.5),
                        Unit.PERCENT)
                    .on(Side.ABOVE),
                100));
  }
}
