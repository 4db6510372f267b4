package kitproof.driver.simulated.unit;

/**
 * The limiter's lamps: tungsten filaments that warm by the current and cool by radiation.
 *
 * <p>{@code C dT/dt = I²·R(T) − k·(T⁴ − T₀⁴)}, {@code R = R_hot·(T/T_hot)^1.2}. Warming within a
 * mains cycle is averaged out.
 */
final class Lamp {
  private static final double HOT = 2700;
  private static final double ROOM = 300;
  private static final double RATED_VOLTS = 230;

  /** Seconds in which the rated power would heat the filament to its working temperature. */
  private static final double HEATING_TIME = 0.12;

  private double ratedWatts;
  private double temperature = ROOM;
  private double resistance;

  Lamp(double ratedWatts) {
    this.ratedWatts = ratedWatts;
    this.resistance = at(ROOM);
  }

  /** Another number of like lamps side by side, as warm as these. */
  void rated(double watts) {
    ratedWatts = watts;
    resistance = at(temperature);
  }

  /** Ohms now. */
  double resistance() {
    return resistance;
  }

  /** Kelvin now. */
  double temperature() {
    return temperature;
  }

  /**
   * Passes some milliseconds.
   *
   * @param meanSquareCurrent amperes squared
   */
  void pass(double seconds, double meanSquareCurrent) {
    double t4 = Math.pow(temperature / HOT, 4);
    double loss = ratedWatts * (t4 - Math.pow(ROOM / HOT, 4));
    double capacity = ratedWatts * HEATING_TIME / (HOT - ROOM);
    double gain = meanSquareCurrent * resistance;
    // Radiation taken implicitly, so that a hot filament cannot fall below room temperature.
    double slope = 4 * ratedWatts * t4 / temperature;
    temperature += seconds * (gain - loss) / (capacity + seconds * slope);
    temperature = Math.max(ROOM, temperature);
    resistance = at(temperature);
  }

  private double at(double kelvin) {
    return RATED_VOLTS * RATED_VOLTS / ratedWatts * Math.pow(kelvin / HOT, 1.2);
  }
}
