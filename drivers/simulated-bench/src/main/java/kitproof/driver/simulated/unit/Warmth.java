package kitproof.driver.simulated.unit;

/** What warms slowly: cathodes, the valves' settling, a leaking capacitor. */
final class Warmth {
  private static final double CATHODE_TIME = 5;
  private static final double SETTLING_TIME = 20;
  private static final double CAPACITOR_TIME = 45;

  private double heaterMeanSquare;
  private double cathode;
  private double settled;
  private double capacitor;

  /**
   * Passes some milliseconds.
   *
   * @param heaterMeanSquare heater voltage squared over its nominal value squared
   */
  void pass(double seconds, double heaterMeanSquare, boolean highVoltage) {
    this.heaterMeanSquare +=
        (heaterMeanSquare - this.heaterMeanSquare) * Math.min(1, seconds / 0.1);
    // A cathode radiates with the fourth power: its temperature follows the root of the voltage.
    double target = Math.pow(this.heaterMeanSquare, 0.25);
    cathode += (target - cathode) * seconds / CATHODE_TIME;
    settled += ((highVoltage ? emission() : 0) - settled) * seconds / SETTLING_TIME;
    capacitor += ((highVoltage ? emission() : 0) - capacitor) * seconds / CAPACITOR_TIME;
  }

  /** Fraction of the full space-charge current that the cathodes give, 0…1. */
  double emission() {
    double x = Math.max(0, Math.min(1, (cathode - 0.70) / 0.24));
    return x * x * (3 - 2 * x);
  }

  /** Cathode temperature above the room's, relative to nominal. */
  double cathode() {
    return cathode;
  }

  /** 0 just warm, 1 when the bias has settled. */
  double settled() {
    return settled;
  }

  /** 0 cold, 1 when the chassis is warm. */
  double capacitor() {
    return capacitor;
  }
}
