package kitproof.driver.simulated.unit;

/**
 * What the bench connects to the unit.
 *
 * @param mains whether mains is applied
 * @param bypass whether the limiter lamps are bridged
 * @param left the left output
 * @param right the right output
 * @param driveLeft whether the generator drives the left input; otherwise it is terminated
 * @param driveRight the same for the right
 * @param series ohms in series with both inputs, 0 for none
 * @param triode whether the mode switch is at triode
 * @param probe what the probe meter is connected to
 * @param oneLamp whether one of the limiter's two lamps is taken out
 * @param cold where the leads of the meter for the cold unit are
 */
public record Connections(
    boolean mains,
    boolean bypass,
    Output left,
    Output right,
    boolean driveLeft,
    boolean driveRight,
    double series,
    boolean triode,
    Probe probe,
    boolean oneLamp,
    Cold cold) {
  /** Where the probe can be. */
  public enum Probe {
    CATHODE_V3,
    CATHODE_V4,
    CATHODE_V5,
    CATHODE_V6,
    HEATER
  }

  /** What the meter for the cold unit is connected to. */
  public enum Cold {
    OFF,
    RAIL,
    PRIMARY,
    HV_WINDING,
    HEATER_WINDING,
    EARTH
  }

  Output output(int channel) {
    return channel == 0 ? left : right;
  }

  boolean drive(int channel) {
    return channel == 0 ? driveLeft : driveRight;
  }
}
