package kitproof.driver.simulated.unit;

import java.util.Random;
import org.jspecify.annotations.Nullable;

/**
 * Builds a unit from the Linnet 12's nominal values with the spread of real parts.
 *
 * <p>The same seed, serial number and fault give the same unit on every machine: {@link Random} and
 * {@link String#hashCode()} are specified to the bit. A fault changes its part only; all others
 * stay as they are in the healthy unit of that number.
 */
public final class Kit {
  private final Random random;
  private final @Nullable Fault fault;

  private Kit(Random random, @Nullable Fault fault) {
    this.random = random;
    this.fault = fault;
  }

  /**
   * The unit with this serial number.
   *
   * @param seed of the batch
   * @param fault what is wrong with it, or null
   */
  public static UnitParts build(long seed, String serial, @Nullable Fault fault) {
    Random random = new Random(seed * 1_000_003L + serial.hashCode());
    return new Kit(random, fault).unit();
  }

  private UnitParts unit() {
    SupplyParts supply = supply();
    ChannelParts left = channel(true);
    ChannelParts right = channel(false);
    return new UnitParts(
        supply,
        left,
        right,
        near(9.0e-4, 0.1),
        near(0.02e-12, 0.2),
        fault == Fault.COUPLING_CAPACITOR_LEAKS ? 2 : -1,
        near(0.012, 0.5),
        random.nextLong(),
        near(0.06, 0.2) + (fault == Fault.PROTECTIVE_EARTH_LOOSE ? 6 : 0));
  }

  private SupplyParts supply() {
    boolean low = fault == Fault.SMOOTHING_CAPACITOR_LOW;
    boolean shorted = fault == Fault.SMOOTHING_CAPACITOR_SHORTED;
    return new SupplyParts(
        230,
        50,
        200,
        near(7, 0.03),
        near(13e3, 0.05),
        near(3.0e3, 0.02),
        near(1.2, 0.004),
        near(55, 0.04),
        near(18.5 / 322, 0.006),
        near(100e-6, 0.06),
        near(82, 0.02),
        near(220e-6, 0.06) * (low ? 0.1 : 1),
        near(82e3, 0.02),
        shorted ? 0.4 : Double.POSITIVE_INFINITY,
        near(15e3, 0.02),
        near(22e-6, 0.08),
        near(5e-3, 0.04));
  }

  private ChannelParts channel(boolean left) {
    double lift = near(100, 0.004);
    double feedbackResistor = near(2840, 0.004);
    if (!left && fault == Fault.FEEDBACK_RESISTOR_DECADE) {
      feedbackResistor *= 10;
    }
    double pair = near(1.0e-3, 0.03);
    double mu = near(8.7, 0.01);
    boolean mismatched = left && fault == Fault.OUTPUT_VALVES_MISMATCHED;
    ValveParts first = valve(pair * (mismatched ? 1.2 : 1), mu);
    ValveParts second = valve(pair * (mismatched ? 0.62 : 1), mu);
    double tap4 = Math.sqrt(0.5) * near(1, 0.002);
    double tap16 = Math.sqrt(2) * near(1, 0.002);
    boolean exchanged = left && fault == Fault.TAPS_EXCHANGED;
    return new ChannelParts(
        near(0.18e-6, 0.05),
        near(100e3, 0.02),
        near(100e-12, 0.1),
        near(182, 0.02),
        near(0.04, 0.15),
        60,
        near(8.6e3, 0.03),
        near(1, 0.003) - 1,
        near(0.1e-6, 0.05),
        near(330e3, 0.01),
        lift / (lift + feedbackResistor),
        first,
        second,
        0.43,
        near(15.81, 0.003),
        exchanged ? 1 : tap4,
        exchanged ? tap4 : 1,
        tap16,
        near(16, 0.06),
        near(2.1, 0.03),
        near(9e-3, 0.05),
        near(150, 0.04),
        near(250e-12, 0.06),
        near(4.0e-6, 0.08),
        near(1.5e-6, 0.2),
        near(2.0e-3, 0.1),
        left && fault == Fault.OSCILLATES ? 2.5e-3 : 0);
  }

  private ValveParts valve(double perveance, double mu) {
    return new ValveParts(
        near(perveance, 0.012), near(mu, 0.004), near(270, 0.006), near(470e-6, 0.08));
  }

  /** A normal spread with this relative standard deviation, cut at two of them: tested parts. */
  private double near(double nominal, double relativeDeviation) {
    double normal;
    do {
      normal = random.nextGaussian();
    } while (Math.abs(normal) > 2);
    return nominal * (1 + relativeDeviation * normal);
  }
}
