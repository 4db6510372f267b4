package kitproof.driver.simulated.unit;

/**
 * Time integrals of what meters see, from the beginning; the difference of two of them over the
 * time between gives mean and rms.
 *
 * @param time seconds
 * @param rail volt seconds on the HV rail
 * @param railSquare the same squared
 * @param probe volt seconds at the probe
 * @param probeSquare the same squared
 * @param heaterSquare of the heater voltage
 * @param energy joules from the mains
 */
public record Integrals(
    double time,
    double rail,
    double railSquare,
    double probe,
    double probeSquare,
    double heaterSquare,
    double energy) {

  /** DC volts on the rail since then. */
  public double railMean(Integrals then) {
    return (rail - then.rail) / (time - then.time);
  }

  /** AC volts rms on the rail since then. */
  public double railRipple(Integrals then) {
    return alternating(railMean(then), (railSquare - then.railSquare) / (time - then.time));
  }

  /** DC volts at the probe since then. */
  public double probeMean(Integrals then) {
    return (probe - then.probe) / (time - then.time);
  }

  /** AC volts rms at the probe since then. */
  public double probeRipple(Integrals then) {
    return alternating(probeMean(then), (probeSquare - then.probeSquare) / (time - then.time));
  }

  /** AC volts rms at the heaters since then. */
  public double heater(Integrals then) {
    return Math.sqrt(Math.max(0, (heaterSquare - then.heaterSquare) / (time - then.time)));
  }

  /** Mean watts from the mains since then. */
  public double power(Integrals then) {
    return (energy - then.energy) / (time - then.time);
  }

  private static double alternating(double mean, double meanSquare) {
    return Math.sqrt(Math.max(0, meanSquare - mean * mean));
  }
}
