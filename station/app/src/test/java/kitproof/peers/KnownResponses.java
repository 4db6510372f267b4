package kitproof.peers;

import static kitproof.peers.KnownDevices.decibels;
import static kitproof.peers.KnownDevices.places;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.stream.IntStream;
import kitproof.peers.KnownDevices.Clipper;
import kitproof.peers.KnownDevices.SecondOrder;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Gain, responses, edges, a stray line and a climb to clipping, of devices known by formula. */
final class KnownResponses {
  /** Of the plugin's filters, nearly that of Butterworth's, which is the root of 2. */
  private static final double RESONANCE = 1.4;

  private static final SecondOrder HIGH_PASS = new SecondOrder(100, RESONANCE);
  private static final SecondOrder LOW_PASS = new SecondOrder(2000, RESONANCE);
  private static final SecondOrder RINGING = new SecondOrder(2000, 0.5);
  private static final Clipper CLIPPER = new Clipper(Math.pow(10, -6 / 20.0));

  /** Of the square wave that the station plays: the last harmonic, as a share of the rate. */
  private static final double LAST = 0.45;

  /** What is left of that one; the harmonics before it lie under a Gaussian slope. */
  private static final double LEFT_OF_LAST = 0.03;

  /** By how much the straight device gives more than the other unit's. */
  private static final double ABOVE_OTHER_DB = 1.25;

  /** The highest peak is the first, within half a cycle of what rings. */
  private static final double HIGHEST =
      IntStream.range(0, 400).mapToDouble(i -> ofUnit(i * 1e-6)).max().orElseThrow();

  private KnownResponses() {}

  /** Another unit: its straight device gives less, its high-pass is flat. */
  private static Path other(Told told) throws IOException {
    Conditions place = Conditions.of("channel", "left").with("tap", "8 ohm");
    return ReferenceRecord.write(
        told.scene.records().resolveSibling("other"),
        "LN12-100",
        Measurement.of(
            "gain",
            place.with("device", "straight").with("power", "1 W"),
            Quantity.of(decibels(0.5) - ABOVE_OTHER_DB, Unit.DECIBEL)),
        Measurement.of(
            "frequency response",
            place.with("device", "high-pass"),
            Curve.of(Unit.HERTZ, new double[] {10, 30_000}, Unit.DECIBEL, new double[] {0, 0})));
  }

  /** The clipper at an output power. */
  static Clipper.Cut clipped(double watts) {
    return CLIPPER.withFundamental(Math.sqrt(2 * watts * 8) / SoundRun.FULL_SCALE_PEAK);
  }

  /**
   * Volts of the ringing device's square wave of 100 Hz, whose highest peak is as high as that of
   * the sine of 1 W in 8 ohm.
   */
  static double square(double seconds) {
    return 4 / HIGHEST * ofUnit(seconds);
  }

  /** Each harmonic as the filter lets it through, of a wave of 1 V. */
  private static double ofUnit(double seconds) {
    double slope = Math.log(LEFT_OF_LAST) / (LAST * LAST);
    double volts = 0;
    for (int k = 1; k * 100 <= LAST * KnownDevices.RATE; k += 2) {
      double hz = 100.0 * k;
      double played = 4 / (Math.PI * k) * Math.exp(slope * Math.pow(hz / KnownDevices.RATE, 2));
      volts +=
          played
              * RINGING.lowPass(hz)
              * Math.sin(2 * Math.PI * hz * seconds + RINGING.lowPassRadians(hz));
    }
    return volts;
  }

  /** When it rises through zero, at its first edge. */
  static double squareRises() {
    return KnownDevices.solve(KnownResponses::square, 0, 0, 1e-4);
  }

  static KnownRun start(SoundRun bench, Told told) throws Exception {
    bench
        .device("straight", "amp", "amp_mono", 0.5)
        .device("inverter", "inv_1429", "inv")
        .device("high-pass", "butterworth_1902", "butthigh_iir", 100, RESONANCE)
        .device("low-pass", "butterworth_1902", "buttlow_iir", 2000, RESONANCE)
        .device("ringing", "butterworth_1902", "buttlow_iir", 2000, RINGING.r())
        .device("modulator", "ringmod_1188", "ringmod_1i1o1l", 0.1, 700, 1, 0, 0, 0)
        .device("limiter", "hard_limiter_1413", "hardLimiter", -6, 1, 0);
    String plan =
        """
          - {step: gain, procedure: gain, conditions: {device: straight, channel: left, tap: 8 ohm}, power: 1 W}
          - {step: polarity, procedure: frequency-response, conditions: {device: inverter, channel: left, tap: 8 ohm}, power: 1 W, band: 100 Hz..10 kHz, sweep: 500 ms}
          - {step: swept, procedure: frequency-response, conditions: {device: high-pass, channel: left, tap: 8 ohm}, power: 1 W, band: 20 Hz..20 kHz, sweep: 2 s, drop: 3 dB}
          - {step: stepped, procedure: frequency-response, conditions: {device: low-pass, channel: left, tap: 8 ohm}, power: 1 W, band: 200 Hz..20 kHz, method: stepped, per-octave: 6, drop: 3 dB}
          - {step: square wave, procedure: square-wave, conditions: {device: ringing, channel: left, tap: 8 ohm}, power: 1 W, frequency: 100 Hz}
          - {step: stability, procedure: stability, conditions: {device: modulator, channel: left, tap: 8 ohm}, power: 1 W, frequency: 7 kHz}
          - {step: climb, procedure: distortion-against-power, conditions: {device: limiter, channel: left, tap: 8 ohm}, powers: 0.5 W..2 W, rated: 1.4 W, per-decade: 40, harmonics: 3}
          - {step: beside the other, procedure: comparison, conditions: {device: straight, channel: left, tap: 8 ohm}, result: gain, against: {unit: reference}}
          - {step: beside the other, procedure: comparison, conditions: {device: high-pass, channel: left, tap: 8 ohm}, curve: frequency response, against: {unit: reference}}
        """;
    double sideband = decibels(Math.sqrt(8) * (0.1 / 4) / (1 - 0.1 / 2));
    double rises = squareRises();
    double reference = LOW_PASS.lowPass(1000);
    Expected expected =
        new Expected()
            .near("gain", "device: straight", decibels(0.5), 0.001, "dB")
            .near("gain difference", "", ABOVE_OTHER_DB, 0.001, "dB")
            .curve(
                "frequency response difference", // from one that is flat
                "",
                "Hz",
                places(30, 20_000, 200),
                f -> decibels(HIGH_PASS.highPass(f) / HIGH_PASS.highPass(1000)),
                0.03,
                "dB")
            .near(
                "worst frequency response difference",
                "",
                decibels(HIGH_PASS.highPass(20) / HIGH_PASS.highPass(1000)),
                1,
                "dB")
            .near("polarity", "device: inverter", -1, 0, "")
            .curve(
                "frequency response",
                "device: inverter",
                "Hz",
                new double[] {110, 9000},
                f -> 0,
                0.005,
                "dB")
            .curve("phase", "device: inverter", "Hz", new double[] {110, 9000}, f -> 180, 1, "deg")
            .near("polarity", "device: high-pass", 1, 0, "")
            .curve(
                "frequency response",
                "device: high-pass",
                "Hz",
                places(30, 20_000, 200), // the sweep itself begins at 20 Hz
                f -> decibels(HIGH_PASS.highPass(f) / HIGH_PASS.highPass(1000)),
                0.03,
                "dB")
            .curve(
                "phase",
                "device: high-pass",
                "Hz",
                places(30, 20_000, 200),
                HIGH_PASS::highPassDegrees,
                1,
                "deg")
            .near(
                "lower corner",
                "device: high-pass",
                KnownDevices.solve(
                    f -> decibels(HIGH_PASS.highPass(f) / HIGH_PASS.highPass(1000)), -3, 20, 1000),
                0.5,
                "Hz")
            .curve(
                "frequency response",
                "device: low-pass",
                "Hz",
                places(210, 9_000, 200),
                f -> decibels(LOW_PASS.lowPass(f) / reference),
                0.1, // the mask is as fine as the tones are, and joined by straight lines
                "dB")
            .near(
                "upper corner",
                "device: low-pass",
                KnownDevices.solve(f -> -decibels(LOW_PASS.lowPass(f) / reference), 3, 1000, 9000),
                10,
                "Hz")
            // The first sample of it may lie up to one after it rose: at its steepest 1.6 V.
            .curve("square wave", "", "s", times(0.019), t -> square(rises + t), 1.8, "V")
            .near("rise time", "", RINGING.riseSeconds() * 1e6, 6, "us") // less the stimulus' own
            .near("overshoot", "", 100 * RINGING.overshoot(), 1.5, "%")
            .near("ringing frequency", "", RINGING.ringingHz(), 40, "Hz")
            .near("sag", "", 0, 0.5, "%")
            .near("stray line", "", sideband, 0.05, "dBV")
            .between("stray line frequency", "", 6295, 7705, "Hz")
            .near("power at 1 %", "", watts(CLIPPER.amplitudeAt(0.01)), 0.02, "W")
            .near("clipping power", "", watts(CLIPPER.amplitudeAt(0.03)), 0.02, "W")
            .near("input sensitivity", "", Math.sqrt(1.4 * 8), 0.005, "V")
            .curve(
                "input voltage against power",
                "",
                "W",
                places(1.22, 1.5, 20),
                p -> Math.sqrt(p * 8),
                0.01,
                "V")
            .curve("thd+n against power", "", "W", new double[] {1.22, 1.5}, p -> 0, 0.01, "%")
            .curve("thd against power", "", "W", new double[] {1.22, 1.5}, p -> 0, 0.01, "%")
            // There is none; above clipping the third is looked at by EveryProcedureIT.
            .below("harmonic 2 against power", "W", new double[] {1.22, 1.8}, p -> -100, "dB")
            .below("harmonic 3 against power", "W", new double[] {1.22, 1.5}, p -> -100, "dB");
    told.scene.reference(other(told));
    return KnownRun.start(bench, told, "LN12-101", plan, expected);
  }

  /** A sample apart. */
  private static double[] times(double end) {
    double[] times = new double[(int) (end * KnownDevices.RATE) + 1];
    Arrays.setAll(times, i -> i / KnownDevices.RATE);
    return times;
  }

  private static double watts(double amplitude) {
    return Math.pow(amplitude * SoundRun.FULL_SCALE_PEAK, 2) / 2 / 8;
  }
}
