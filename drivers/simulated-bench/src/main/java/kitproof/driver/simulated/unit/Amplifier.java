package kitproof.driver.simulated.unit;

import org.jspecify.annotations.Nullable;

/**
 * The unit as a whole, moved through time by whoever asks.
 *
 * <p>Between stimuli only the supply, the valves' bias and what warms are integrated; while one is
 * played, both channels run at its finer step and draw their true current from the supply.
 *
 * <p>Not safe for several threads.
 */
public final class Amplifier {
  private static final double QUIET_STEP = 50e-6;
  private static final double DARK_STEP = 1e-3;
  private static final double SLOW_STEP = 1e-3;
  private static final double GENERATOR_RESISTANCE = 100;
  private static final double LEAK_COLD_VOLTS = 0.05;
  private static final double LEAK_WARM_VOLTS = 16;
  private static final double FORGETTING_TIME = 0.05;

  /** Volts at the generator above which it is more than a converter's noise. */
  private static final double DRIVEN = 1e-3;

  private final UnitParts parts;
  private final Supply supply;
  private final Warmth warmth = new Warmth();
  private final Channel[] channels;
  private final Tally tally = new Tally();
  private final double[] mutualPerSecond;

  private Connections connections;
  private @Nullable Playback playing;
  private double time;
  private double lastAudio = Double.NEGATIVE_INFINITY;
  private double current;
  private double leftBefore;
  private double rightBefore;
  private double slowTime;
  private double slowSquare;
  private double slowHeater;
  private final double[] trim = {1, 1};
  private int flybacks;
  private Connections.Cold coldAt = Connections.Cold.OFF;
  private double coldSince;

  public Amplifier(UnitParts parts, Connections connections) {
    this.parts = parts;
    this.supply = new Supply(parts.supply());
    this.channels =
        new Channel[] {
          new Channel(parts.left(), parts.noiseSeed()),
          new Channel(parts.right(), ~parts.noiseSeed())
        };
    this.mutualPerSecond =
        new double[] {
          parts.crosstalkCapacitance() * parts.left().inputResistance(),
          parts.crosstalkCapacitance() * parts.right().inputResistance()
        };
    this.connections = connections;
    connect(connections);
  }

  /** Changes what is connected, from now on. */
  public void connect(Connections now) {
    connections = now;
    if (now.cold() != coldAt) {
      coldAt = now.cold();
      coldSince = time;
    }
    supply.connect(now.mains(), now.bypass(), now.oneLamp());
    Playback on = playing;
    if (on != null) {
      prepare(on);
      watch(on);
    }
  }

  /**
   * Starts to play; {@link #advance} then passes it.
   *
   * @param left volts at the generator's left output
   * @param right volts, as many
   * @throws IllegalStateException if something is still playing
   */
  public Playback play(double sampleRate, double[] left, double[] right) {
    if (playing != null) {
      throw new IllegalStateException("another stimulus is still playing");
    }
    Playback on = new Playback(sampleRate, left, right);
    prepare(on);
    for (int c = 0; c < 2; c++) {
      if (time - lastAudio > FORGETTING_TIME) {
        channels[c].rest(supply.rail(), strength(), grid(2 * c), grid(2 * c + 1));
      }
    }
    playing = on;
    watch(on);
    return on;
  }

  /**
   * Turns a channel's bias trimmer, from now on.
   *
   * @param channel 0 left, 1 right
   * @param factor grid bias relative to the trimmer's middle
   */
  public void trim(int channel, double factor) {
    trim[channel] = factor;
  }

  /** Whether a stimulus is on its way. */
  public boolean playing() {
    return playing != null;
  }

  /** Stops what is playing; the rest of it is never captured. */
  public void stop() {
    if (playing != null) {
      playing = null;
      lastAudio = time;
    }
  }

  /** Seconds since the beginning. */
  public double time() {
    return time;
  }

  /** Passes time up to this moment; a moment that has passed already does nothing. */
  public void advance(double until) {
    while (time < until) {
      Playback on = playing;
      if (on == null) {
        quiet(until - time);
        continue;
      }
      double rate = on.sampleRate();
      // Always whole steps, so that what is captured does not depend on who looks in between.
      int step = (int) Math.min(on.remaining(), Math.max(1, Math.round(QUIET_STEP * rate)));
      if (Math.floor((until - time) * rate + 1e-6) < step) {
        return;
      }
      audible(on, step);
      if (on.finished()) {
        playing = null;
        lastAudio = time;
      }
    }
  }

  private void quiet(double most) {
    double seconds = Math.min(most, connections.mains() ? QUIET_STEP : DARK_STEP);
    supply.step(seconds, time, current, warmth.emission(), warmth.cathode());
    pass(seconds, true);
  }

  private void audible(Playback on, int samples) {
    double seconds = samples / on.sampleRate();
    double railBefore = supply.rail();
    double primaryBefore = supply.primary();
    double rippleBefore = supply.preampRipple();
    supply.step(seconds, time, current, warmth.emission(), warmth.cathode());
    int steps = samples * on.factor();
    double perStep = 1.0 / steps;
    double railSlope = (supply.rail() - railBefore) * perStep;
    double primarySlope = (supply.primary() - primaryBefore) * perStep;
    double rippleSlope = (supply.preampRipple() - rippleBefore) * perStep;
    double strength = strength();
    double perNominal = 1 / (Supply.NOMINAL_PRIMARY * Math.sqrt(2));
    double mutual = 1 / on.stepSeconds();
    Channel left = channels[0];
    Channel right = channels[1];
    left.power(railBefore, strength);
    right.power(railBefore, strength);
    double[] bias = {grid(0), grid(1), grid(2), grid(3)};
    double[] sums = new double[4];
    boolean driveLeft = connections.driveLeft();
    boolean driveRight = connections.driveRight();
    int step = 0;
    for (int sample = 0; sample < samples; sample++) {
      for (int phase = 0; phase < on.factor(); phase++) {
        step++;
        double rail = railBefore + railSlope * step;
        double hum = (primaryBefore + primarySlope * step) * perNominal;
        double ripple = rippleBefore + rippleSlope * step;
        double l = left.driven();
        double r = right.driven();
        double toRight = parts.crosstalk() * l + mutualPerSecond[1] * mutual * (l - leftBefore);
        double toLeft = parts.crosstalk() * r + mutualPerSecond[0] * mutual * (r - rightBefore);
        leftBefore = l;
        rightBefore = r;
        left.begin(
            driveLeft ? on.generator(0, phase) : 0,
            toLeft + parts.left().heaterHum() * hum + parts.left().supplyHum() * ripple,
            rail,
            strength,
            bias[0],
            bias[1]);
        right.begin(
            driveRight ? on.generator(1, phase) : 0,
            toRight + parts.right().heaterHum() * hum + parts.right().supplyHum() * ripple,
            rail,
            strength,
            bias[2],
            bias[3]);
        solve(left, right);
        on.put(0, phase, left.finish());
        on.put(1, phase, right.finish());
        sums[0] += left.first.cathodeCurrent;
        sums[1] += left.second.cathodeCurrent;
        sums[2] += right.first.cathodeCurrent;
        sums[3] += right.second.cathodeCurrent;
      }
      on.sampleDone();
    }
    current = 0;
    for (int v = 0; v < 4; v++) {
      double mean = sums[v] * perStep;
      valve(v).charge(seconds, mean);
      current += mean;
    }
    pass(seconds, false);
  }

  private static void solve(Channel left, Channel right) {
    boolean leftDone = left.iterate();
    boolean rightDone = right.iterate();
    for (int i = 1; i < Channel.MOST_ITERATIONS && !(leftDone && rightDone); i++) {
      leftDone = leftDone || left.iterate();
      rightDone = rightDone || right.iterate();
    }
  }

  private void pass(double seconds, boolean quiet) {
    time += seconds;
    double heater = supply.primary() * (6.3 / Supply.NOMINAL_PRIMARY);
    double probe =
        switch (connections.probe()) {
          case CATHODE_V3 -> channels[0].first.cathode();
          case CATHODE_V4 -> channels[0].second.cathode();
          case CATHODE_V5 -> channels[1].first.cathode();
          case CATHODE_V6 -> channels[1].second.cathode();
          case HEATER -> heater;
        };
    tally.add(seconds, supply.rail(), probe, heater, supply.mainsPower());
    slowTime += seconds;
    slowSquare += supply.primaryCurrent() * supply.primaryCurrent() * seconds;
    slowHeater += supply.primary() * supply.primary() * seconds;
    if (slowTime >= SLOW_STEP) {
      slow(quiet);
    }
  }

  private void slow(boolean quiet) {
    double nominal = Supply.NOMINAL_PRIMARY * Supply.NOMINAL_PRIMARY;
    supply.warm(slowTime, slowSquare / slowTime);
    warmth.pass(slowTime, slowHeater / slowTime / nominal, supply.rail() > 50);
    if (quiet) {
      current = 0;
      for (int v = 0; v < 4; v++) {
        Valve valve = valve(v);
        valve.current(grid(v), supply.rail(), supply.rail(), strength());
        valve.charge(slowTime, valve.cathodeCurrent);
        current += valve.cathodeCurrent;
      }
    }
    slowTime = 0;
    slowSquare = 0;
    slowHeater = 0;
  }

  private Valve valve(int index) {
    Channel channel = channels[index / 2];
    return index % 2 == 0 ? channel.first : channel.second;
  }

  private double strength() {
    return warmth.emission() * (1 + parts.settling() * (1 - warmth.settled()));
  }

  /** Idle volts of an output valve's grid against chassis. */
  private double grid(int valve) {
    return leak(valve) - supply.bias() * trim[valve / 2];
  }

  /**
   * Volts that the leaking capacitor puts on a grid: more of the driver's anode voltage as it
   * warms.
   */
  private double leak(int valve) {
    if (valve != parts.leakingGrid()) {
      return 0;
    }
    double warm = LEAK_COLD_VOLTS + (LEAK_WARM_VOLTS - LEAK_COLD_VOLTS) * warmth.capacitor();
    return warm * Math.min(1, supply.preamp() / 280);
  }

  private void prepare(Playback on) {
    for (int c = 0; c < 2; c++) {
      double series = connections.drive(c) ? connections.series() : 0;
      channels[c].prepare(
          on.stepSeconds(),
          GENERATOR_RESISTANCE + series,
          connections.output(c),
          connections.triode());
    }
  }

  /** Remembers a drive into no load. */
  private void watch(Playback on) {
    for (int c = 0; c < 2; c++) {
      boolean driven = connections.drive(c) && on.peak(c) > DRIVEN;
      if (driven && connections.output(c).open() && supply.rail() > 1) {
        flybacks++;
      }
    }
  }

  /** What meters integrate, up to now. */
  public Integrals integrals() {
    return tally.integrals(time);
  }

  /** How often the unit was driven under power with no load, whose flyback can destroy it. */
  public int flybacks() {
    return flybacks;
  }

  /**
   * Ohms where the leads for the cold unit are; infinite if they are nowhere, not a number if the
   * unit has voltage on it.
   *
   * <p>On the rail the meter's current charges the capacitors beside the bleeder first.
   */
  public double coldOhms() {
    if (connections.mains() || supply.rail() > 1) {
      return Double.NaN;
    }
    return switch (coldAt) {
      case OFF -> Double.POSITIVE_INFINITY;
      case RAIL -> {
        double ohms = supply.railOhms();
        yield ohms * -Math.expm1(-(time - coldSince) / (ohms * supply.railFarads()));
      }
      case PRIMARY -> supply.primaryOhms();
      case HV_WINDING -> supply.windingOhms();
      case HEATER_WINDING -> supply.heaterOhms();
      case EARTH -> parts.earthResistance();
    };
  }

  /** Filament temperature of the limiter's lamps, kelvin. */
  public double lampTemperature() {
    return supply.lampTemperature();
  }
}
