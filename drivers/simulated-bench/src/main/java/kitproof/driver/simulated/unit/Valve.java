package kitproof.driver.simulated.unit;

/**
 * A beam tetrode with its cathode resistor and bypass capacitor.
 *
 * <p>Cathode current by the three-halves law, {@code P·e·E₊^1.5} with {@code E = v_gk + v_sk/µ},
 * rounded at cut-off; the anode takes {@code v²/(v² + V_k²)} of it, the knee. The grid draws
 * current when positive, through the driver's resistance, which is taken as a compression of the
 * grid voltage. {@link #current} also leaves the derivatives for a Newton solution.
 */
final class Valve {
  private static final double CUT_OFF_ROUNDING = 1.2;
  private static final double KNEE = 15;
  private static final double GRID_ROUNDING = 1;

  /** How much of a grid voltage above zero is left behind the driver's resistance. */
  private static final double GRID_SLOPE = 0.1;

  private final ValveParts parts;
  private final double perMu;
  private double cathode;

  /** Anode and cathode current, amperes, after {@link #current}. */
  double anodeCurrent;

  double cathodeCurrent;

  /** Derivatives of the anode current by grid, screen and anode voltage. */
  double byGrid;

  double byScreen;
  double byAnode;

  Valve(ValveParts parts) {
    this.parts = parts;
    this.perMu = 1 / parts.screenMu();
  }

  /**
   * Solves for the currents at these voltages against chassis.
   *
   * @param strength emission, 0…1, with the settling
   */
  void current(double grid, double screen, double anode, double strength) {
    double v = grid - cathode;
    double vg = v;
    double vgSlope = 1;
    if (v > GRID_ROUNDING) {
      vg = GRID_SLOPE * v;
      vgSlope = GRID_SLOPE;
    } else if (v > -GRID_ROUNDING) {
      double into = v + GRID_ROUNDING;
      vg -= (1 - GRID_SLOPE) * into * into / (4 * GRID_ROUNDING);
      vgSlope -= (1 - GRID_SLOPE) * into / (2 * GRID_ROUNDING);
    }
    double e = vg + (screen - cathode) * perMu;
    double eRoot = Math.sqrt(e * e + CUT_OFF_ROUNDING * CUT_OFF_ROUNDING);
    double space = 0.5 * (e + eRoot);
    double half = parts.perveance() * strength * Math.sqrt(space);
    cathodeCurrent = half * space;
    double va = anode - cathode;
    if (va > 0) {
      double square = va * va;
      double bottom = square + KNEE * KNEE;
      double perBoth = 1 / (eRoot * bottom); // one division for two
      double share = square * perBoth * eRoot;
      double slope = 1.5 * cathodeCurrent * perBoth * bottom * share;
      double perSquare = perBoth * eRoot;
      anodeCurrent = cathodeCurrent * share;
      byGrid = slope * vgSlope;
      byScreen = slope * perMu;
      byAnode = cathodeCurrent * 2 * KNEE * KNEE * va * perSquare * perSquare;
    } else {
      anodeCurrent = 0;
      byGrid = 0;
      byScreen = 0;
      byAnode = 0;
    }
  }

  /**
   * Volts that a grid at this voltage against chassis leaves at the driver's resistance, which
   * carries the grid's current.
   */
  double gridDrop(double grid) {
    double v = grid - cathode;
    return v <= 0 ? 0 : (1 - GRID_SLOPE) * v;
  }

  /** Passes a short time for the cathode's capacitor at this mean cathode current. */
  void charge(double seconds, double meanCurrent) {
    double perStep = parts.cathodeCapacitance() / seconds;
    cathode = (perStep * cathode + meanCurrent) / (perStep + 1 / parts.cathodeResistance());
  }

  /** Volts at the cathode. */
  double cathode() {
    return cathode;
  }
}
