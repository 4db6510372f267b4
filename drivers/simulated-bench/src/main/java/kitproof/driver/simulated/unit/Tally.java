package kitproof.driver.simulated.unit;

/** Adds up what meters see. */
final class Tally {
  private double rail;
  private double railSquare;
  private double probe;
  private double probeSquare;
  private double heaterSquare;
  private double energy;

  /** Volts and watts that held for some seconds. */
  void add(double seconds, double railVolts, double probeVolts, double heaterVolts, double watts) {
    rail += railVolts * seconds;
    railSquare += railVolts * railVolts * seconds;
    probe += probeVolts * seconds;
    probeSquare += probeVolts * probeVolts * seconds;
    heaterSquare += heaterVolts * heaterVolts * seconds;
    energy += watts * seconds;
  }

  Integrals integrals(double time) {
    return new Integrals(time, rail, railSquare, probe, probeSquare, heaterSquare, energy);
  }
}
