package kitproof.procedure;

import java.time.Duration;
import kitproof.signal.Sweep;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/** The band of a sweep, as plans state it, and the sweep that an interface can play of it. */
final class SweptBand {
  private SweptBand() {}

  /**
   * Refuses a band in which a sweep cannot be, or that does not hold the frequency of the figures.
   *
   * @throws IllegalArgumentException with what was expected
   */
  static void requireInside(QuantityRange band, Quantity frequency) {
    if (!(band.low().in(Unit.HERTZ) > 0) || band.low().equals(band.high())) {
      throw new IllegalArgumentException("a band from above 0 Hz to more");
    }
    if (!band.contains(frequency)) {
      throw new IllegalArgumentException(
          "a band that holds " + frequency.display() + ", where the figures are read off");
    }
  }

  /** The sweep over the band, or over as much of it as the interface's sample rate allows. */
  static Sweep sweep(QuantityRange band, Duration duration, double rate) {
    double high = Math.min(band.high().in(Unit.HERTZ), rate * Levelling.HIGHEST_OF_RATE);
    return Sweep.synchronised(band.low().in(Unit.HERTZ), high, duration.toNanos() / 1e9, rate);
  }
}
