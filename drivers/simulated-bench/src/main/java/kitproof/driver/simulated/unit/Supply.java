package kitproof.driver.simulated.unit;

/**
 * Mains, limiter lamps, transformer, full-wave rectifier, reservoir, filter resistor, smoothing
 * capacitor with bleeder, the grid bias, and the first stages' own filter.
 *
 * <p>The rectifier conducts while the winding's voltage exceeds the reservoir's, through all
 * resistance before it. Heaters and core load the primary, so that the lamps lower the heaters'
 * voltage too.
 */
final class Supply {
  /** The primary's rms voltage at which the heaters have 6.3 V. */
  static final double NOMINAL_PRIMARY = 228;

  /** Seconds in which the bias supply's capacitor empties. */
  private static final double BIAS_TIME = 12;

  /** A cold heater's resistance against that of a hot one. */
  private static final double COLD_HEATER = 0.25;

  /** A bad capacitor is good to an ohmmeter, and a short from here on. */
  private static final double BREAKDOWN_VOLTS = 8;

  private final SupplyParts parts;
  private final Lamp lamp;
  private final double omega;

  private boolean mains;
  private boolean bypass;
  private boolean brokenDown;
  private double reservoir;
  private double rail;
  private double bias;
  private double preamp;
  private double preampMean;
  private double primary;
  private double mainsPower;
  private double primaryCurrent;

  Supply(SupplyParts parts) {
    this.parts = parts;
    this.lamp = new Lamp(parts.lampWatts());
    this.omega = 2 * Math.PI * parts.mainsHz();
  }

  /** Closes or opens the mains, bridges the lamps or not, and takes one of the two out or not. */
  void connect(boolean mains, boolean bypass, boolean oneLamp) {
    this.mains = mains;
    this.bypass = bypass;
    lamp.rated(oneLamp ? parts.lampWatts() / 2 : parts.lampWatts());
  }

  /**
   * Passes a fraction of a millisecond.
   *
   * @param seconds at most 100 microseconds with mains, 2 ms without
   * @param time seconds, for the mains' phase
   * @param valveCurrent amperes drawn from the rail by the output valves
   * @param emission 0…1, of the first stages
   * @param heaterHeat relative temperature of the heaters, which conduct better when cold
   */
  void step(double seconds, double time, double valveCurrent, double emission, double heaterHeat) {
    double charging = 0;
    if (mains) {
      charging = rectify(time, heaterHeat);
    } else {
      primary = 0;
      primaryCurrent = 0;
      mainsPower = 0;
    }
    bias = Math.max(bias * (1 - seconds / BIAS_TIME), parts.biasRatio() * Math.abs(primary));
    double through = (reservoir - rail) / parts.filterResistance();
    reservoir += seconds * (charging - through) / parts.reservoir();
    reservoir = Math.max(0, reservoir);
    double early = parts.preampCurrent() * emission * Math.max(0, preamp) / 280;
    double toPreamp = (rail - preamp) / parts.preampResistance();
    double perStep = parts.smoothing() / seconds;
    rail =
        (perStep * rail + reservoir / parts.filterResistance() - valveCurrent - toPreamp)
            / (perStep
                + 1 / parts.filterResistance()
                + 1 / parts.bleeder()
                + (brokenDown ? 1 / parts.shortResistance() : 0));
    rail = Math.max(0, rail);
    brokenDown |= rail > BREAKDOWN_VOLTS;
    preamp += seconds * (toPreamp - early) / parts.preampCapacitance();
    preampMean += (preamp - preampMean) * seconds / 0.05;
  }

  private double rectify(double time, double heaterHeat) {
    double source = parts.mainsVolts() * Math.sqrt(2) * Math.sin(omega * time);
    double before = parts.primaryResistance() + (bypass ? 0 : lamp.resistance());
    double heater =
        parts.heaterResistance() * (COLD_HEATER + (1 - COLD_HEATER) * Math.min(1, heaterHeat));
    double shunt = 1 / heater + 1 / parts.coreResistance();
    double loaded = source / (1 + before * shunt);
    double charging = 0;
    double excess = parts.ratio() * Math.abs(loaded) - reservoir;
    if (excess > 0) {
      double seen = before / (1 + before * shunt);
      charging = excess / (parts.windingResistance() + parts.ratio() * parts.ratio() * seen);
      loaded -= Math.copySign(seen * parts.ratio() * charging, loaded);
    }
    primary = loaded;
    primaryCurrent = (source - loaded) / before;
    mainsPower = source * primaryCurrent;
    return charging;
  }

  /** Passes some milliseconds for the lamps; they cool in the dark. */
  void warm(double seconds, double meanSquareCurrent) {
    lamp.pass(seconds, bypass ? 0 : meanSquareCurrent);
  }

  /** Farads that an ohmmeter on the rail charges, through both capacitors' common resistor. */
  double railFarads() {
    return parts.reservoir() + parts.smoothing();
  }

  /** Ohms from the rail to chassis of the cold unit, once charged. */
  double railOhms() {
    return brokenDown && Double.isFinite(parts.shortResistance())
        ? parts.shortResistance()
        : parts.bleeder();
  }

  /** Ohms of the primary with its leads. */
  double primaryOhms() {
    return parts.primaryResistance();
  }

  /** Ohms of the high-voltage winding. */
  double windingOhms() {
    return parts.windingResistance();
  }

  /** Ohms of all cold heaters in parallel, at the heater winding. */
  double heaterOhms() {
    double perVolt = 6.3 / NOMINAL_PRIMARY;
    return parts.heaterResistance() * COLD_HEATER * perVolt * perVolt;
  }

  /** Volts on the HV rail. */
  double rail() {
    return rail;
  }

  /** The output grids' bias below chassis, volts. */
  double bias() {
    return bias;
  }

  /** What is left of the ripple on the first stages' supply, volts. */
  double preampRipple() {
    return preamp - preampMean;
  }

  /** The first stages' supply, volts. */
  double preamp() {
    return preamp;
  }

  /** The power transformer's primary now, volts. */
  double primary() {
    return primary;
  }

  /** Amperes from the mains now. */
  double primaryCurrent() {
    return primaryCurrent;
  }

  /** Watts from the mains now, lamps included. */
  double mainsPower() {
    return mainsPower;
  }

  /** The limiter lamps' filament temperature, kelvin. */
  double lampTemperature() {
    return lamp.temperature();
  }
}
