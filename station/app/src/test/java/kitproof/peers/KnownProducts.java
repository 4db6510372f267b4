package kitproof.peers;

import static kitproof.peers.KnownDevices.decibels;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
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
          - {step: along, procedure: distortion-against-frequency, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W, frequencies: 500 Hz..1 kHz, harmonics: 3}
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
    double thd = 100 * Math.hypot(harmonics[0], harmonics[1]);
    double[] high = POLYNOMIAL.products(1, 1, peak);
    double[] mixed = POLYNOMIAL.products(4, 1, peak);
    double[] octave = {510, 990};
    Expected expected =
        new Expected()
            .near("harmonic 2", "", second, 0.03, "dB")
            .near("harmonic 3", "", third, 0.05, "dB")
            .near("thd", "", thd, thd * 0.004, "%")
            .near("thd+n", "", thd, thd * 0.004, "%")
            .curve("harmonic 2 against frequency", "", "Hz", octave, f -> second, 0.03, "dB")
            .curve("harmonic 3 against frequency", "", "Hz", octave, f -> third, 0.05, "dB")
            .curve("thd against frequency", "", "Hz", octave, f -> thd, thd * 0.004, "%")
            .curve("thd+n against frequency", "", "Hz", octave, f -> thd, thd * 0.004, "%")
            .near("mains power driven", "", 73.25, 0.01, "W")
            .near("mains power driven spread", "", 0, 0.01, "W")
            .curve("harmonic spectrum", "", "Hz", new double[] {25, 19_000}, f -> -150, 150.5, "dB")
            .curve("waveform", "", "s", new double[] {0, 0.0025}, t -> 0, 7, "V")
            .curve("residual waveform", "", "s", new double[] {0, 0.0025}, t -> 0, 8, "%")
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
    noise(expected);
    return KnownRun.start(bench, told, "LN12-102", plan, expected);
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
    --latency-msec=200; } > /dev/null 2>&1 & } && \
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
    double[] hertz = {20, 900};
    expected
        .near("hum 50 Hz", "", decibels(HUM_50), 0.05, "dBV")
        .near("hum 100 Hz", "", decibels(HUM_100), 0.05, "dBV")
        .near("hum", "", decibels(Math.hypot(HUM_50, HUM_100)), 0.05, "dBV")
        .curve("hum spectrum", "", "Hz", hertz, f -> -100, 66, "dBV")
        .near("noise", "weighting: none", decibels(plain), 0.1, "dBV")
        .near("noise", "weighting: A", decibels(a), 0.15, "dBV")
        .near("noise", "weighting: \"ITU-R 468 rms\"", decibels(itu), 0.3, "dBV")
        .between(
            "noise",
            "weighting: \"ITU-R 468 quasi-peak\"",
            decibels(itu) + 2,
            decibels(itu) + 7,
            "dBV")
        .near("signal-to-noise ratio", "weighting: none", decibels(rated / plain), 0.1, "dB")
        .near("signal-to-noise ratio", "weighting: A", decibels(rated / a), 0.15, "dB");
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
