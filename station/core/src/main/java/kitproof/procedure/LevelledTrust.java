package kitproof.procedure;

import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Unit;

/** How near the power of a step is to the stated one: by the volts, the load and the levelling. */
final class LevelledTrust {
  private LevelledTrust() {}

  /**
   * The level of a tone that was levelled to a power, over what it should be.
   *
   * @param within how near it was levelled, dB
   */
  static Factor level(AudioTrust trust, ToneBench.Channel channel, double hertz, double within) {
    return trust
        .volts(channel, hertz)
        .over(trust.load(channel).power(0.5))
        .times(
            Factor.decibels(
                Contribution.within(
                    "levelling to the power", Distribution.RECTANGULAR, within, Unit.DECIBEL)));
  }
}
