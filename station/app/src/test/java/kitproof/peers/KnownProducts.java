package kitproof.peers;

import static kitproof.peers.KnownDevices.decibels;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import kitproof.peers.KnownDevices.Polynomial;

/** Harmonics and products of two tones, of a known polynomial; and a known hum and noise. */
final class KnownProducts {
  static final Polynomial POLYNOMIAL = new Polynomial(0.9, 0.05, 0.02);
  private static final double HUM_50 = 0.02 / Math.sqrt(2);
  private static final double HUM_100 = 0.01 / Math.sqrt(2);

  /** Rms of the noise up to half the rate, volts. */
  private static final double NOISE = 0.003;

  private KnownProducts() {}

  /** Of 2 W in 8 ohm, over full scale. */
  static double outputPeak() {
    return Math.sqrt(2 * 2 * 8) / SoundRun.FULL_SCALE_PEAK;
  }

  static KnownRun start(SoundRun bench, Told told, Path folder) throws Exception {
    bench.device(
        "polynomial",
        "harmonic_gen_1220",
        "harmonicGen",
        POLYNOMIAL.one(),
        POLYNOMIAL.two(),
        POLYNOMIAL.three(),
        0,
        0,
        0,
        0,
        0,
        0,
        0);
    bench.device("murmur", murmur(bench, folder)).wattmeter(41.5, 73.25);
    String plan =
        """
          - {step: distortion, procedure: distortion, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W, harmonics: 3}
          - {step: along, procedure: distortion-against-frequency, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: [1 W, 2 W], frequencies: 500 Hz..1 kHz, harmonics: 3}
          - {step: climb, procedure: distortion-against-power, conditions: {device: polynomial, channel: left, tap: 8 ohm}, powers: 50 mW..2 W, rated: 1 W, per-decade: 10, harmonics: 3}
          - {step: mains power, procedure: reading-at-power, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W, meter: wattmeter, function: power, result: mains power driven, settle: 200 ms, count: 3}
          - {step: spectrum, procedure: spectrum, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W}
          - {step: two high, procedure: difference-frequency-distortion, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W}
          - {step: low and high, procedure: modulation-distortion, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W}
          - {step: hum, procedure: hum, conditions: {device: murmur, channel: left, tap: 8 ohm}, lines: 2}
          - {step: noise, procedure: noise, conditions: {device: murmur, channel: left, tap: 8 ohm}, rated: 5 W}
        """;
    double peak = outputPeak();
    double[] harmonics = POLYNOMIAL.harmonics(peak);
    double second = decibels(harmonics[0]);
    double third = decibels(harmonics[1]);
    double thd = thd(2);
    double[] high = POLYNOMIAL.products(1, 1, peak);
    double[] mixed = POLYNOMIAL.products(4, 1, peak);
    double[] times = new double[61];
    Arrays.setAll(times, i -> i * 0.0025 / 60);
    Map<Integer, Double> lines = Map.of(1000, 0.0, 2000, second, 3000, third);
    double tone = decibels(peak * SoundRun.FULL_SCALE_PEAK / Math.sqrt(2));
    Expected expected =
        new Expected()
            .near("harmonic 2", "", second, 0.03, "dB")
            .near("harmonic 3", "", third, 0.05, "dB")
            .near("thd", "", thd, thd * 0.004, "%")
            .near("thd+n", "", thd, thd * 0.004, "%")
            .below("harmonic spectrum", "Hz", besides(1000, 2000, 3000), f -> line(f, lines), "dB")
            .below("spectrum", "Hz", besides(1000, 2000, 3000), f -> tone + line(f, lines), "dBV")
            // The first sample of them may lie up to one after the sine rose; the tone is a bin
            // off.
            .curve("waveform", "", "s", times, t -> volts(turns(t)), 1.2, "V")
            .curve("residual waveform", "", "s", times, t -> percent(turns(t)), 2.2, "%")
            .near("mains power driven", "", 73.25, 0.01, "W")
            .near("mains power driven spread", "", 0, 0.01, "W")
            .near("product f2-f1", "", decibels(high[0]), 0.05, "dB")
            .near("product 2f1-f2", "", decibels(high[1]), 0.1, "dB")
            .near("product 2f2-f1", "", decibels(high[1]), 0.1, "dB")
            .near("difference-frequency distortion 2", "", 50 * high[0], 0.5 * high[0], "%")
            .near("difference-frequency distortion 3", "", 100 * high[1], high[1], "%")
            .near("sideband f2-f1", "", decibels(mixed[0]), 0.15, "dB")
            .near("sideband f2+f1", "", decibels(mixed[0]), 0.15, "dB")
            .near("sideband f2-2f1", "", decibels(mixed[1]), 0.25, "dB")
            .near("sideband f2+2f1", "", decibels(mixed[1]), 0.25, "dB")
            .near("modulation distortion 2", "", 200 * mixed[0], 4 * mixed[0], "%")
            .near("modulation distortion 3", "", 200 * mixed[1], 6 * mixed[1], "%")
            .near(
                "modulation distortion",
                "",
                200 * Math.hypot(mixed[0], mixed[1]),
                5 * Math.hypot(mixed[0], mixed[1]),
                "%");
    along(expected);
    climb(expected);
    noise(expected);
    return KnownRun.start(bench, told, "LN12-102", plan, expected);
  }

  /** At every frequency the same, at each of the powers. */
  private static void along(Expected expected) {
    double[] octave = {510, 990};
    for (int watts : new int[] {1, 2}) {
      String when = "power: " + watts + " W";
      double second = decibels(at(watts)[0]);
      double third = decibels(at(watts)[1]);
      double thd = thd(watts);
      expected
          .curve("harmonic 2 against frequency", when, "Hz", octave, f -> second, 0.03, "dB")
          .curve("harmonic 3 against frequency", when, "Hz", octave, f -> third, 0.05, "dB")
          .curve("thd against frequency", when, "Hz", octave, f -> thd, thd * 0.004, "%")
          .curve("thd+n against frequency", when, "Hz", octave, f -> thd, thd * 0.004, "%");
    }
  }

  /** At every power. */
  private static void climb(Expected expected) {
    double[] watts = KnownDevices.places(0.07, 1.6, 60);
    expected
        .curve("harmonic 2 against power", "", "W", watts, w -> decibels(at(w)[0]), 0.05, "dB")
        .curve("harmonic 3 against power", "", "W", watts, w -> decibels(at(w)[1]), 0.1, "dB")
        .curve("thd against power", "", "W", watts, KnownProducts::thd, 0.02, "%")
        .curve("thd+n against power", "", "W", watts, KnownProducts::thd, 0.02, "%")
        .curve("input voltage against power", "", "W", watts, KnownProducts::input, 0.02, "V")
        .near("power at 1 %", "", KnownDevices.solve(KnownProducts::thd, 1, 0.01, 2), 0.002, "W")
        .near("clipping power", "", KnownDevices.solve(KnownProducts::thd, 3, 0.01, 2), 0.01, "W")
        .near("input sensitivity", "", input(1), 0.01, "V");
  }

  private static double output(double watts) {
    return Math.sqrt(2 * watts * 8) / SoundRun.FULL_SCALE_PEAK;
  }

  private static double[] at(double watts) {
    return POLYNOMIAL.harmonics(output(watts));
  }

  private static double thd(double watts) {
    return 100 * Math.hypot(at(watts)[0], at(watts)[1]);
  }

  private static double input(double watts) {
    return POLYNOMIAL.drive(output(watts)) * SoundRun.FULL_SCALE_PEAK / Math.sqrt(2);
  }

  private static double turns(double seconds) {
    return 2 * Math.PI * 1000 * seconds;
  }

  /** The waveform of 2 W at a phase of its fundamental. */
  static double volts(double phase) {
    return SoundRun.FULL_SCALE_PEAK * POLYNOMIAL.wave(outputPeak(), phase, true);
  }

  /** What it has besides its fundamental, over the fundamental's peak. */
  static double percent(double phase) {
    return 100 * POLYNOMIAL.wave(outputPeak(), phase, false) / outputPeak();
  }

  /** The ends of an audible spectrum, and where lines of it begin and end at their feet. */
  private static double[] besides(int... lines) {
    return DoubleStream.concat(
            DoubleStream.of(25, 19_000),
            IntStream.of(lines)
                .mapToDouble(f -> f)
                .flatMap(f -> DoubleStream.of(0.92 * f, 0.93 * f, 1.07 * f, 1.08 * f)))
        .sorted()
        .toArray();
  }

  /** Levels of lines, and between them of what may be there. */
  private static double line(double hz, Map<Integer, Double> levels) {
    return levels.entrySet().stream()
        .filter(line -> Math.abs(hz / line.getKey() - 1) < 0.075)
        .mapToDouble(line -> line.getValue() + 0.05)
        .findFirst()
        .orElse(-100);
  }

  /**
   * Another program plays hum and white noise to the same card, for as long as the server lives.
   */
  private static String murmur(SoundRun bench, Path folder) throws Exception {
    int second = (int) KnownDevices.RATE;
    Random random = new Random(468);
    ByteBuffer samples = ByteBuffer.allocate(10 * second * 4).order(ByteOrder.LITTLE_ENDIAN);
    for (int i = 0; i < 10 * second; i++) {
      double turns = 2 * Math.PI * i / second;
      double volts =
          Math.sqrt(2) * (HUM_50 * Math.sin(50 * turns) + HUM_100 * Math.sin(100 * turns))
              + NOISE * random.nextGaussian();
      samples.putFloat((float) (volts / SoundRun.FULL_SCALE_PEAK));
    }
    Path file = folder.resolve("murmur.f32");
    Files.write(file, samples.array());
    return """
    %s && { { while cat %s; do :; done | %s --raw --format=float32le --rate=48000 --channels=1 \
    --latency-msec=2000; } > /dev/null 2>&1 & } && \
    until %s list sink-inputs | grep -q pacat; do sleep 0.05; done; sleep 0.5\
    """
        .formatted(
            bench.server.choosing(""),
            file,
            bench.server.client("pacat"),
            bench.server.client("pactl"));
  }

  private static void noise(Expected expected) {
    double plain = total(f -> 1);
    double a = total(KnownDevices::aWeighting);
    double itu = total(KnownDevices::itu468);
    double rated = Math.sqrt(5 * 8);
    double c = total(KnownDevices::cWeighting);
    double fifty = decibels(HUM_50) + 0.1;
    double hundred = decibels(HUM_100) + 0.1;
    expected
        .near("hum 50 Hz", "", decibels(HUM_50), 0.05, "dBV")
        .near("hum 100 Hz", "", decibels(HUM_100), 0.05, "dBV")
        .near("hum", "", decibels(Math.hypot(HUM_50, HUM_100)), 0.05, "dBV")
        .below(
            "hum spectrum",
            "Hz",
            new double[] {20, 40, 42, 58, 60, 86, 88, 114, 116, 900},
            f -> f > 41 && f < 59 ? fifty : f > 87 && f < 115 ? hundred : -70,
            "dBV")
        .near("noise", "weighting: none", decibels(plain), 0.1, "dBV")
        .near("noise", "weighting: A", decibels(a), 0.15, "dBV")
        .near("noise", "weighting: C", decibels(c), 0.1, "dBV")
        .near("noise", "weighting: \"ITU-R 468 rms\"", decibels(itu), 0.3, "dBV")
        .between(
            "noise",
            "weighting: \"ITU-R 468 quasi-peak\"",
            decibels(itu) + 2,
            decibels(itu) + 7,
            "dBV")
        .near("signal-to-noise ratio", "weighting: none", decibels(rated / plain), 0.1, "dB")
        .near("signal-to-noise ratio", "weighting: A", decibels(rated / a), 0.15, "dB")
        .near("signal-to-noise ratio", "weighting: C", decibels(rated / c), 0.1, "dB");
  }

  /** Rms of hum and noise from 20 Hz to 20 kHz under a weighting, by the defining integral. */
  private static double total(DoubleUnaryOperator weighting) {
    double squares =
        Math.pow(HUM_50 * weighting.applyAsDouble(50), 2)
            + Math.pow(HUM_100 * weighting.applyAsDouble(100), 2);
    double density = NOISE * NOISE / (KnownDevices.RATE / 2);
    for (int hz = 20; hz < 20_000; hz++) {
      squares += density * Math.pow(weighting.applyAsDouble(hz + 0.5), 2);
    }
    return Math.sqrt(squares);
  }
}
