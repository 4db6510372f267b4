package kitproof.driver.simulated.unit;

import java.util.EnumMap;
import java.util.Map;
import kitproof.driver.simulated.unit.Connections.Probe;
import kitproof.driver.simulated.unit.Output.Tap;

/** A unit between ideal instruments; analyses by plain sums over sines. */
final class Bed {
  static final double[] LOADS = {4.0, 8.0, 16.0};
  static final int LEFT = 0;
  static final int RIGHT = 1;

  final Amplifier unit;
  double rate = 96_000;
  boolean mains;
  boolean triode;
  boolean bypass = true;
  Tap tap = Tap.EIGHT;
  double load = 8;
  double capacitance;
  double series;
  Probe probe = Probe.CATHODE_V3;

  Bed(long seed, String serial, Fault fault) {
    unit = new Amplifier(Kit.build(seed, serial, fault), connections());
  }

  /** A unit of the first batch that has been on long enough. */
  static Bed warm(String serial, Fault fault) {
    Bed bed = new Bed(12, serial, fault);
    bed.mains = true;
    bed.connect();
    bed.pass(60);
    return bed;
  }

  private Connections connections() {
    Output output = new Output(tap, load, capacitance);
    return new Connections(
        mains,
        bypass,
        output,
        output,
        true,
        true,
        series,
        triode,
        probe,
        false,
        Connections.Cold.OFF);
  }

  void connect() {
    unit.connect(connections());
  }

  void tap(Tap tap) {
    this.tap = tap;
    this.load = LOADS[tap.ordinal()];
    connect();
  }

  void pass(double seconds) {
    unit.advance(unit.time() + seconds);
  }

  double[][] play(double[] left, double[] right) {
    Playback playback = unit.play(rate, left, right);
    unit.advance(unit.time() + playback.duration() + 1e-5);
    return playback.captured();
  }

  /** Plays a tone on one channel; returns what that channel gave. */
  double[] tone(int channel, double hertz, double volts, double seconds) {
    double[] tone = new double[(int) Math.round(seconds * rate)];
    for (int i = 0; i < tone.length; i++) {
      tone[i] = volts * Math.sqrt(2) * Math.sin(2 * Math.PI * hertz * i / rate);
    }
    double[] silence = new double[tone.length];
    return play(channel == LEFT ? tone : silence, channel == RIGHT ? tone : silence)[channel];
  }

  /** Volts rms of one line, from the last tenths of a second, which hold whole cycles of it. */
  double line(double[] samples, double hertz, double seconds) {
    int count = (int) Math.round(seconds * rate);
    int from = samples.length - count;
    double re = 0;
    double im = 0;
    for (int i = 0; i < count; i++) {
      double phase = 2 * Math.PI * hertz * i / rate;
      re += samples[from + i] * Math.cos(phase);
      im += samples[from + i] * Math.sin(phase);
    }
    return Math.sqrt(2) * Math.hypot(re, im) / count;
  }

  /** Volts rms of 1 kHz and its harmonics up to the tenth; index 0 is THD against the first. */
  double[] harmonics(int channel, double volts) {
    double[] samples = tone(channel, 1000, volts, 0.3);
    double[] lines = new double[11];
    double sum = 0;
    for (int k = 1; k <= 10; k++) {
      lines[k] = line(samples, 1000 * k, 0.1);
      sum += k == 1 ? 0 : lines[k] * lines[k];
    }
    lines[0] = Math.sqrt(sum) / lines[1];
    return lines;
  }

  /** Decibels from input to output at a frequency. */
  double gain(int channel, double hertz) {
    return decibels(line(tone(channel, hertz, 0.1, 0.4), hertz, 0.2) / 0.1);
  }

  static double decibels(double ratio) {
    return 20 * Math.log10(ratio);
  }

  Integrals before() {
    return unit.integrals();
  }

  double rail() {
    Integrals then = before();
    pass(0.06);
    return before().railMean(then);
  }

  double ripple() {
    Integrals then = before();
    pass(0.06);
    return before().railRipple(then);
  }

  double power() {
    Integrals then = before();
    pass(0.06);
    return before().power(then);
  }

  Map<Probe, Double> cathodes() {
    Map<Probe, Double> volts = new EnumMap<>(Probe.class);
    for (Probe p : Probe.values()) {
      if (p != Probe.HEATER) {
        probe = p;
        connect();
        Integrals then = before();
        pass(0.06);
        volts.put(p, before().probeMean(then));
      }
    }
    return volts;
  }

  /** Volts rms of an undriven channel, and of its 100 Hz line. */
  double[] silence(int channel) {
    pass(1);
    double[] samples = tone(channel, 1000, 0, 1);
    double sum = 0;
    for (double s : samples) {
      sum += s * s;
    }
    return new double[] {Math.sqrt(sum / samples.length), line(samples, 100, 0.5)};
  }
}
