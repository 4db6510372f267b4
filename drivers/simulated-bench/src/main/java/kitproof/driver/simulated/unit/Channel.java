package kitproof.driver.simulated.unit;

/**
 * One channel from input socket to output terminals, solved at a fixed step.
 *
 * <p>All voltages behind the voltage stage are seen from one half of the output transformer's
 * primary. The unknown of a step is {@code u}, the voltage across that half; everything else at the
 * end of the step follows from it: leakage current and output voltage, by them the feedback and the
 * voltage stage, by it the grids and the anode currents. The currents into the node must cancel:
 *
 * <pre>C·(u − u₋)/h + u/R + i_m(λ) + i_L − (i_a1 − i_a2) = 0</pre>
 *
 * which Newton's method solves with exact derivatives. Flux and leakage current are integrated by
 * the trapezoidal rule. As the loop is closed within the step, no delay is added to it, and the
 * solution stays stable at every level.
 *
 * <p>A step is begun, iterated and finished by its caller, who so takes both channels side by side:
 * the processor works on one while the other waits for a root or a quotient.
 */
final class Channel {
  private static final double STRAY_CONDUCTANCE = 1 / 150e3;
  private static final double DRIVER_RESISTANCE = 12e3;

  /** Newton's method is broken off after so many iterations. */
  static final int MOST_ITERATIONS = 12;

  /** Volts; Newton's error goes with the square of the last change, here to below a microvolt. */
  private static final double CLOSE_ENOUGH = 0.05;

  /** Ohms that stand for no load, on the secondary: what insulation and wiring leave. */
  private static final double NO_LOAD = 50e3;

  private final ChannelParts parts;
  private final Noise noise;
  final InputStage input;
  final Valve first;
  final Valve second;
  private final ParasiticOscillation oscillation;

  private double h;
  private double share;
  private double outputScale;
  private double lagging;
  private double strayPerStep;
  private double perInductance;
  private double perSaturation;
  private double splitter;
  private double curvature;
  private double couplingPerGrid;
  private double couplingPerDrop;
  private double errorByU;
  private double gain;
  private double perLimit;
  private double leakOld;
  private double leakNew;
  private double loadOldVoltage;
  private double loadOldCurrent;
  private double loadNewCurrent;
  private double feedbackScale;
  private double stageOld;
  private double stageNew;
  private double noiseScale;

  private double u;
  private double uBefore;
  private double uLong;
  private double flux;
  private double leakCurrent;
  private double loadVoltage;
  private double stage;
  private double stageTarget;
  private double coupling1;
  private double coupling2;

  // What holds within the step that is on.
  private double rail;
  private double strength;
  private double bias1;
  private double bias2;
  private double leakFixed;
  private double loadFixed;
  private double stageFixed;
  private double fluxFixed;
  private double errorFixed;
  private double x;
  private double drive;
  private double target;

  Channel(ChannelParts parts, long seed) {
    this.parts = parts;
    this.noise = new Noise(seed);
    this.input = new InputStage(parts);
    this.first = new Valve(parts.first());
    this.second = new Valve(parts.second());
    this.oscillation = new ParasiticOscillation(parts.oscillation());
  }

  /** Prepares the coefficients for a step width and what is connected. */
  void prepare(double seconds, double sourceResistance, Output output, boolean triode) {
    h = seconds;
    input.prepare(seconds, sourceResistance);
    oscillation.prepare(seconds);
    share = triode ? 1 : parts.ultralinearTap();
    double tap =
        switch (output.tap()) {
          case FOUR -> parts.tap4();
          case EIGHT -> parts.tap8();
          case SIXTEEN -> parts.tap16();
        };
    outputScale = tap / parts.turns();
    double square = outputScale * outputScale;
    double resistance = (output.open() ? NO_LOAD : output.load()) / square;
    double perStep = output.capacitance() * square / h;
    // Without a load the leakage has nothing to ring against: damp it by the implicit rule.
    double theta = output.open() ? 1 : 0.5;
    lagging = (1 - theta) / theta;
    double loadWeight = perStep * resistance > 1 ? 0.5 : 1;
    double bottom = perStep + loadWeight / resistance;
    loadOldVoltage = (perStep - (1 - loadWeight) / resistance) / bottom;
    loadOldCurrent = (1 - loadWeight) / bottom;
    loadNewCurrent = loadWeight / bottom;
    double inertia = parts.leakage() / h;
    double leakBottom = inertia + theta * (parts.copper() + loadNewCurrent);
    leakOld = inertia / leakBottom;
    leakNew = theta / leakBottom;
    feedbackScale = parts.feedback() / parts.turns();
    double corner = Math.PI * parts.stageCornerHz() * h;
    stageOld = (1 - corner) / (1 + corner);
    stageNew = corner / (1 + corner);
    errorByU = -feedbackScale * loadNewCurrent * leakNew;
    strayPerStep = parts.strayCapacitance() / h;
    perInductance = 1 / parts.inductance();
    perSaturation = 1 / (parts.saturationFlux() * parts.saturationFlux());
    splitter = 1 + parts.splitterImbalance();
    curvature = parts.stageCurvature();
    couplingPerGrid = h / (parts.couplingCapacitance() * parts.gridResistance());
    couplingPerDrop = h / (parts.couplingCapacitance() * DRIVER_RESISTANCE);
    noiseScale = parts.noise() * Math.sqrt(0.5 / h / 20e3);
  }

  /** Sets what the voltage stage can do with this supply. */
  void power(double rail, double strength) {
    gain = parts.stageGain() * Math.min(1, strength) * Math.min(1, rail / 300);
    perLimit = 1 / Math.max(1, parts.stageLimit() * Math.min(1, rail / 330));
  }

  /** Settles everything that carries audio to its idle value. */
  void rest(double rail, double strength, double bias1, double bias2) {
    input.rest();
    u = 0;
    uBefore = 0;
    uLong = 0;
    leakCurrent = 0;
    loadVoltage = 0;
    stage = 0;
    stageTarget = 0;
    coupling1 = 0;
    coupling2 = 0;
    first.current(bias1, rail, rail, strength);
    second.current(bias2, rail, rail, strength);
    flux = magnetisedBy(first.anodeCurrent - second.anodeCurrent);
  }

  /**
   * Begins a step; {@link #iterate} follows until it says that it is done, then {@link #finish}.
   *
   * @param generator volts at the input's generator
   * @param disturbance volts at the first grid: hum and crosstalk
   * @param rail volts
   * @param strength of the valves' emission
   * @param bias1 idle volts of the first grid against chassis
   * @param bias2 the same for the second
   */
  void begin(
      double generator,
      double disturbance,
      double rail,
      double strength,
      double bias1,
      double bias2) {
    this.rail = rail;
    this.strength = strength;
    this.bias1 = bias1;
    this.bias2 = bias2;
    double in = input.step(generator) + disturbance + noiseScale * noise.next();
    if (oscillation.present()) {
      in += oscillation.step(strength);
    }
    leakFixed =
        leakCurrent * (leakOld - leakNew * lagging * parts.copper())
            + leakNew
                * (lagging * (u - loadVoltage)
                    - loadOldVoltage * loadVoltage
                    - loadOldCurrent * leakCurrent);
    loadFixed = loadOldVoltage * loadVoltage + loadOldCurrent * leakCurrent;
    stageFixed = stageOld * stage + stageNew * stageTarget;
    fluxFixed = flux + 0.5 * h * u;
    errorFixed = in - feedbackScale * (loadFixed + loadNewCurrent * leakFixed);
    x = 3 * (u - uBefore) + uLong;
  }

  /** Comes nearer to the step's solution; whether it is there. */
  boolean iterate() {
    double error = errorFixed + errorByU * x;
    double bent = gain * error * (1 + curvature * error);
    double bentSlope = gain * (1 + 2 * curvature * error);
    double over = bent * perLimit;
    double under = 1 / (1 + over * over);
    double underRoot = Math.sqrt(under);
    double aim = bent * underRoot;
    double driven = stageFixed + stageNew * aim;
    double aimByU = bentSlope * under * underRoot * errorByU;
    double drivenByU = stageNew * aimByU;

    first.current(driven - coupling1 + bias1, rail - share * x, rail - x, strength);
    second.current(-splitter * driven - coupling2 + bias2, rail + share * x, rail + x, strength);
    double l = fluxFixed + 0.5 * h * x;
    double bend = l * l * perSaturation;
    bend *= bend;
    double magnetising = l * perInductance * (1 + bend);
    double f =
        strayPerStep * (x - u)
            + STRAY_CONDUCTANCE * x
            + magnetising
            + (leakFixed + leakNew * x)
            - first.anodeCurrent
            + second.anodeCurrent;
    double slope =
        strayPerStep
            + STRAY_CONDUCTANCE
            + 0.5 * h * perInductance * (1 + 5 * bend)
            + leakNew
            - (first.byGrid * drivenByU - first.byScreen * share - first.byAnode)
            + (-splitter * second.byGrid * drivenByU + second.byScreen * share + second.byAnode);
    double change = f / slope;
    x -= change;
    target = aim - aimByU * change;
    drive = driven - drivenByU * change;
    return Math.abs(change) < CLOSE_ENOUGH;
  }

  /** Ends the step; volts at the output terminal. */
  double finish() {
    double leak = leakFixed + leakNew * x;
    double load = loadFixed + loadNewCurrent * leak;
    flux = fluxFixed + 0.5 * h * x;
    uLong = uBefore;
    uBefore = u;
    u = x;
    leakCurrent = leak;
    loadVoltage = load;
    stage = drive;
    stageTarget = target;
    double grid1 = drive - coupling1;
    double grid2 = -splitter * drive - coupling2;
    coupling1 += couplingPerGrid * grid1 + couplingPerDrop * first.gridDrop(grid1 + bias1);
    coupling2 += couplingPerGrid * grid2 + couplingPerDrop * second.gridDrop(grid2 + bias2);
    return load * outputScale;
  }

  private double magnetisedBy(double current) {
    double l = current * parts.inductance();
    for (int i = 0; i < 40; i++) {
      double bend = Math.pow(l / parts.saturationFlux(), 4);
      l -= (l * (1 + bend) - current * parts.inductance()) / (1 + 5 * bend);
    }
    return l;
  }

  /** Volts at the first grid, for crosstalk. */
  double driven() {
    return input.node();
  }
}
