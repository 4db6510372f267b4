package kitproof.peers;

import static kitproof.peers.KnownDevices.decibels;
import static kitproof.peers.KnownDevices.places;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.DoubleStream;
import kitproof.event.StepOutcome;
import kitproof.journal.RunRecord;
import kitproof.peer.ModbusSlave;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;
import kitproof.peers.KnownDevices.Clipper;
import kitproof.peers.KnownDevices.Polynomial;
import kitproof.peers.KnownDevices.SecondOrder;
import kitproof.procedure.Procedures;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every procedure on real drivers: devices of known truth in sound servers, chosen by relays on
 * serial lines, meters on serial lines. The limit files hold what is known; every result must be
 * judged and pass, and be told in record, console and MQTT.
 *
 * <p>Signals take their time, so the four runs go side by side. An output impedance has no device
 * of its kind on a sound server: there the relays choose the gains that the voltage divider of the
 * impedance and each load makes; the same holds for an input impedance.
 */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class EveryProcedureIT {
  /** Full scale of outputs and inputs, volts peak. */
  private static final double FULL = 10;

  /** Of the plugin's filters, nearly that of Butterworth's, which is the root of 2. */
  private static final double RESONANCE = 1.4;

  private static final SecondOrder HIGH_PASS = new SecondOrder(100, RESONANCE);
  private static final SecondOrder LOW_PASS = new SecondOrder(2000, RESONANCE);
  private static final SecondOrder RINGING = new SecondOrder(2000, 0.5);
  private static final Polynomial POLYNOMIAL = new Polynomial(0.9, 0.05, 0.02);
  private static final Clipper CLIPPER = new Clipper(Math.pow(10, -6 / 20.0));

  private Path folder;
  private final List<AutoCloseable> open = new ArrayList<>();
  private Run responses;
  private Run products;
  private Run conditions;
  private Run meters;

  /** A run under way. */
  private record Run(Told told, Program program, String unit, Expected expected) {
    RunRecord passed() throws Exception {
      return told.passed(program, unit, expected);
    }
  }

  @BeforeAll
  void start(@TempDir Path made) throws Exception {
    folder = made;
    meters = meters();
    products = products();
    conditions = conditions();
    responses = responses();
    // A person answers while the others play.
    meters.program().awaitPrinted("connect the unit");
    meters.program().type("\n");
    meters.program().awaitPrinted("read the panel meter");
    meters.program().type("331\n");
  }

  @AfterAll
  void stop() throws Exception {
    for (int i = open.size() - 1; i >= 0; i--) {
      open.get(i).close();
    }
  }

  private <T extends AutoCloseable> T opened(T resource) {
    open.add(resource);
    return resource;
  }

  private Run run(SoundRun bench, Told told, String unit, String plan, Expected expected)
      throws Exception {
    told.scene
        .sound(bench.server.alsaConfiguration())
        .bench(bench.roles())
        .plan("steps:\n" + plan)
        .limits(expected.limits());
    return new Run(told, opened(told.scene.start(unit)), unit, expected);
  }

  private SoundRun bench(String name) throws Exception {
    return opened(new SoundRun(Files.createDirectories(folder.resolve(name))));
  }

  private Told told(String name) throws Exception {
    return opened(new Told(folder.resolve(name)));
  }

  // Gain, responses, edges, climbing ------------------------------------------------------------

  private Run responses() throws Exception {
    SoundRun bench =
        bench("responses")
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
        """;
    double sideband = decibels(Math.sqrt(8) * (0.1 / 4) / (1 - 0.1 / 2));
    double reference = LOW_PASS.lowPass(1000);
    Expected expected =
        new Expected()
            .near("gain", "device: straight", decibels(0.5), 0.005, "dB")
            .near("polarity", "device: inverter", -1, 0, "")
            .curve(
                "frequency response",
                "device: inverter",
                "Hz",
                new double[] {110, 9000},
                f -> 0,
                0.02,
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
            .curve("square wave", "", "s", new double[] {0, 0.019}, t -> 0, 8, "V")
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
            .curve(
                "harmonic 2 against power", "", "W", new double[] {1.22, 1.8}, p -> -200, 100, "dB")
            .curve(
                "harmonic 3 against power",
                "",
                "W",
                new double[] {1.22, 1.5},
                p -> -180,
                100,
                "dB");
    return run(bench, told("responses"), "LN12-101", plan, expected);
  }

  private static double watts(double amplitude) {
    return Math.pow(amplitude * FULL, 2) / 2 / 8;
  }

  @Test
  @DisplayName("Gain, response, phase, polarity, square wave, a stray line and a climb to clipping")
  void responsesAreWhatIsKnown() throws Exception {
    RunRecord record = responses.passed();
    double stray = Results.value(record, "stray line frequency");
    assertThat(Math.abs(stray - 7000)).isCloseTo(700, within(3.0));
  }

  // Harmonics, two tones, hum and noise ---------------------------------------------------------

  private Run products() throws Exception {
    SoundRun bench =
        bench("products")
            .device(
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
    bench.device("murmur", murmur(bench));
    String plan =
        """
          - {step: distortion, procedure: distortion, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W, harmonics: 3}
          - {step: along, procedure: distortion-against-frequency, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W, frequencies: 500 Hz..1 kHz, harmonics: 3}
          - {step: spectrum, procedure: spectrum, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W}
          - {step: two high, procedure: difference-frequency-distortion, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W}
          - {step: low and high, procedure: modulation-distortion, conditions: {device: polynomial, channel: left, tap: 8 ohm}, power: 2 W}
          - {step: hum, procedure: hum, conditions: {device: murmur, channel: left, tap: 8 ohm}, lines: 2}
          - {step: noise, procedure: noise, conditions: {device: murmur, channel: left, tap: 8 ohm}, rated: 5 W}
        """;
    double peak = Math.sqrt(2 * 2 * 8) / FULL;
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
    return run(bench, told("products"), "LN12-102", plan, expected);
  }

  private static final double HUM_50 = 0.02 / Math.sqrt(2);
  private static final double HUM_100 = 0.01 / Math.sqrt(2);

  /** Rms of the noise up to half the rate, volts. */
  private static final double NOISE = 0.003;

  /**
   * Another program plays hum and white noise to the same card, for as long as the server lives.
   */
  private String murmur(SoundRun bench) throws Exception {
    int second = (int) KnownDevices.RATE;
    Random random = new Random(468);
    ByteBuffer samples = ByteBuffer.allocate(10 * second * 4).order(ByteOrder.LITTLE_ENDIAN);
    for (int i = 0; i < 10 * second; i++) {
      double turns = 2 * Math.PI * i / second;
      double volts =
          Math.sqrt(2) * (HUM_50 * Math.sin(50 * turns) + HUM_100 * Math.sin(100 * turns))
              + NOISE * random.nextGaussian();
      samples.putFloat((float) (volts / FULL));
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

  @Test
  @DisplayName("Harmonics, spectra, products of two tones, hum and noise")
  void productsAreWhatIsKnown() throws Exception {
    RunRecord record = products.passed();
    double[] harmonics = POLYNOMIAL.harmonics(Math.sqrt(2 * 2 * 8) / FULL);
    Curve spectrum = Results.curve(record, "harmonic spectrum");
    assertThat(highest(spectrum, 1900, 2100)).isCloseTo(decibels(harmonics[0]), within(0.05));
    assertThat(highest(spectrum, 2900, 3100)).isCloseTo(decibels(harmonics[1]), within(0.05));
    double[] residual = Results.curve(record, "residual waveform").ys();
    double rms = Math.sqrt(DoubleStream.of(residual).map(v -> v * v).average().orElseThrow());
    double thd = 100 * Math.hypot(harmonics[0], harmonics[1]);
    assertThat(rms).as("residual over the sine's peak").isCloseTo(thd / Math.sqrt(2), within(0.02));
  }

  private static double highest(Curve curve, double low, double high) {
    double highest = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < curve.size(); i++) {
      if (curve.x(i) >= low && curve.x(i) <= high) {
        highest = Math.max(highest, curve.ys()[i]);
      }
    }
    return highest;
  }

  // Impedances and channels ---------------------------------------------------------------------

  private Run conditions() throws Exception {
    double width = 1.96;
    SoundRun bench = bench("conditions");
    bench.server.add("to-stereo", "", "matrix_ms_st_1421", "matrixMSSt", width);
    bench.server.add("to-middle", "to-stereo", "matrix_st_ms_1420", "matrixStMS");
    double q = (100_000 + 100) / (100_000.0 + 100 + 47_000);
    double tap = Math.sqrt(0.5);
    bench
        .device("source", "amp", "amp_mono", 8 / 9.0)
        .device("leaky", bench.server.choosing("to-middle"))
        .gains("source", 6 / 7.0, tap * 4 / 4.5, tap * 3 / 3.5, q * 8 / 9.0)
        .device("uneven", bench.server.trimming("device0", 1, Math.pow(10, -1 / 20.0)));
    String plan =
        """
          - {step: from outside, procedure: output-impedance, conditions: {device: source, channel: left, tap: 8 ohm}, power: 1 W, second-load: 'left {tap} tap, second load', sweep: 500 ms}
          - {step: from outside, procedure: output-impedance, conditions: {device: source, channel: left, tap: 4 ohm}, power: 1 W, second-load: 'left {tap} tap, second load', sweep: 500 ms}
          - {step: from the source, procedure: input-impedance, conditions: {device: source, channel: left, tap: 8 ohm}, power: 1 W, through-resistor: inputs through 47 kohm, resistor: 47 kohm, source: 100 ohm, sweep: 500 ms}
          - {step: crosstalk, procedure: crosstalk, conditions: {device: leaky, channel: both, tap: 8 ohm}, power: 1 W, sweep: 500 ms}
          - {step: left against right, procedure: comparison, result: crosstalk at 1 kHz, of: {channel: left}, against: {channel: right}}
          - {step: balance, procedure: channel-balance, conditions: {device: uneven, channel: both, tap: 8 ohm}, power: 1 W, sweep: 500 ms}
        """;
    // By hand: middle (l + r)/2 and side (l - r)/2 become left = middle + width/2 side; the
    // plugin's
    // hosts let it work in place, where left has overwritten the middle before right is made of it:
    // right = middle.
    double intoLeft = decibels((1 - width / 2) / 1);
    double intoRight = decibels(1 / (1 + width / 2));
    double[] band = {20, 20_000};
    Expected expected = new Expected();
    for (int ohms : new int[] {4, 8}) {
      String when = "tap: " + ohms + " ohm";
      double z = ohms / 8.0;
      expected
          .near("output impedance at 1 kHz", when, z, z * 0.01, "ohm")
          .near("damping factor at 1 kHz", when, ohms / z, 0.08, "")
          .curve("output impedance", when, "Hz", band, f -> z, z * 0.01, "ohm")
          .curve("output impedance phase", when, "Hz", band, f -> 0, 1, "deg")
          .curve("damping factor", when, "Hz", band, f -> ohms / z, 0.08, "");
    }
    expected
        .near("input impedance at 1 kHz", "", 100_000, 300, "ohm")
        .curve("input impedance", "", "Hz", band, f -> 100_000, 300, "ohm")
        .curve("input impedance phase", "", "Hz", band, f -> 0, 0.5, "deg")
        .near("crosstalk at 1 kHz", "channel: left", intoLeft, 0.02, "dB")
        .near("crosstalk at 1 kHz", "channel: right", intoRight, 0.02, "dB")
        .curve("crosstalk", "channel: left", "Hz", band, f -> intoLeft, 0.03, "dB")
        .curve("crosstalk", "channel: right", "Hz", band, f -> intoRight, 0.03, "dB")
        .near("crosstalk at 1 kHz difference", "", intoLeft - intoRight, 0.04, "dB")
        .curve("crosstalk floor", "", "Hz", band, f -> -500, 400, "dB")
        .near("channel balance at 1 kHz", "", 1, 0.005, "dB")
        .curve("channel balance", "", "Hz", band, f -> 1, 0.01, "dB");
    return run(bench, told("conditions"), "LN12-103", plan, expected);
  }

  @Test
  @DisplayName("Output impedance on two taps, input impedance, crosstalk and balance")
  void conditionsAreWhatIsKnown() throws Exception {
    RunRecord record = conditions.passed();
    assertThat(
            Results.value(record, "output impedance at 1 kHz", Conditions.of("tap", "4 ohm"))
                / Results.value(record, "output impedance at 1 kHz", Conditions.of("tap", "8 ohm")))
        .as("impedances of taps are as their loads (an ideal transformer)")
        .isCloseTo(0.5, within(0.01));
  }

  // Meters and a person -------------------------------------------------------------------------

  private Run meters() throws Exception {
    PtyPair railCable = opened(PtyPair.open());
    PtyPair probeCable = opened(PtyPair.open());
    PtyPair relayCable = opened(PtyPair.open());
    ScpiPeer railMeter = opened(ScpiPeer.onPty(railCable.far()));
    ScpiPeer probe = opened(ScpiPeer.onPty(probeCable.far()));
    ModbusSlave slave = opened(ModbusSlave.on(relayCable.far()));
    opened(new Rail(slave::coilsOn, 0, volts -> railMeter.value("VOLT:DC", volts)));
    probe.value("VOLT:DC", 8.8);
    probe.value("VOLT:AC", 66.5);
    probe.value("RES", 21.4);
    opened(new Ramp(probe, "CURR:DC", 1, 0.01));
    Told told = told("meters");
    told.scene
        .bench(
            """
            roles:
              operator: {driver: person, kind: operator}
              relays:
                driver: relay-switcher
                kind: switcher
                settings: {line: %s, protocol: modbus-rtu, baud: 19200, timeout: 3 s, relays: {K1: 0, K2: 1, K3: 2, K4: 3, K5: 4}}
                routes:
                  mains off:       {group: mains, purpose: mains-off}
                  mains one lamp:  {group: mains, purpose: mains-limited, relays: [K1, K3], when: {lamps: 1}}
                  mains two lamps: {group: mains, purpose: mains-limited, relays: [K1], when: {lamps: 2}}
                  mains direct:    {group: mains, purpose: mains-direct, relays: [K1, K2]}
                  cold leads off:  {group: cold, purpose: cold}
                  primary:         {group: cold, purpose: cold, relays: [K4], when: {point: primary}}
                  cathode V3:      {group: probe, when: {point: cathode V3}}
                  cathode V4:      {group: probe, relays: [K5], when: {point: cathode V4}}
              hv-meter:
                driver: serial-meter
                kind: meter
                settings: {line: %s, functions: {hv: {configure: "CONF:VOLT:DC 1000", unit: V}}}
              probe:
                driver: serial-meter
                kind: meter
                settings:
                  line: %s
                  functions:
                    dc-voltage: {configure: "CONF:VOLT:DC 100", unit: V}
                    power: {configure: "CONF:VOLT:AC 300", unit: W}
                    resistance: {configure: "CONF:RES 10000", unit: ohm}
                    current: {configure: "CONF:CURR:DC 10", unit: A, scale: 0.1}
            """
                .formatted(relayCable.near(), railCable.near(), probeCable.near()))
        .plan(
            """
            steps:
              - {step: connect, procedure: prompt, say: connect the unit}
              - {step: cold, procedure: resistance, conditions: {point: primary}, meter: probe, every: 50 ms}
              - {step: first power, procedure: supply-rise, conditions: {lamps: 2}, meter: hv-meter, function: hv, power-meter: probe, watch: 2500 ms, every: 100 ms, on-fail: stop}
              - {step: one lamp, procedure: supply-rise, conditions: {lamps: 1}, meter: hv-meter, function: hv, result: second rise, watch: 500 ms, every: 100 ms, on-fail: stop}
              - {step: warm-up, procedure: warm-up, mains: direct, conditions: {point: cathode V3}, meter: hv-meter, function: hv, window: 1 s, at-least: 1 s, at-most: 30 s, every: 100 ms}
              - {step: rail, procedure: reading, meter: hv-meter, function: hv, result: hv, count: 5, every: 20 ms}
              - {step: dissipation, procedure: dissipation, conditions: {point: cathode V4}, meter: probe, function: dc-voltage, cathode-resistor: 270 ohm, anode-meter: hv-meter, anode-function: hv, maximum: 12 W, every: 20 ms}
              - {step: bias, procedure: adjust, conditions: {point: cathode V3}, say: turn, control: trimmer, meter: probe, function: dc-voltage, result: bias as set, window: 8.6 V..9 V, dwell: 500 ms, every: 50 ms}
              - {step: by eye, procedure: entry, say: read the panel meter, result: hv by eye, plausible: 0 V..600 V}
              - {step: soak, procedure: drift, meter: probe, function: current, result: current, unit: A, soak: 2 s, every: 50 ms}
            shut-down:
              - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V, give-up-after: 30 s, every: 50 ms}
            """);
    Expected expected = metersExpected();
    told.scene.limits(expected.limits());
    return new Run(told, opened(told.scene.startOnTerminal("LN12-104")), "LN12-104", expected);
  }

  private static Expected metersExpected() {
    double amperes = 8.8 / 270;
    double watts = (Rail.FULL_VOLTS - 8.8) * amperes;
    double[] rise = {0.2, 1.8};
    return new Expected()
        .near("resistance", "", 21.4, 0.01, "ohm")
        .curve("supply rise", "", "s", rise, t -> 140, 145, "V")
        .near("supply rise peak", "", Rail.LIMITED_VOLTS, 4, "V")
        .near("supply rise settled", "", Rail.LIMITED_VOLTS, 4, "V")
        .between("supply rise time to settle", "", 0.5, 2.5, "s")
        .curve("mains power rise", "", "s", rise, t -> 66.5, 0.1, "W")
        .near("mains power rise peak", "", 66.5, 0.1, "W")
        .near("mains power rise settled", "", 66.5, 0.1, "W")
        .between("mains power rise time to settle", "", 0, 1, "s")
        .curve("second rise", "", "s", new double[] {0.1, 0.3}, t -> Rail.LIMITED_VOLTS, 6, "V")
        .near("second rise peak", "", Rail.LIMITED_VOLTS, 4, "V")
        .near("second rise settled", "", Rail.LIMITED_VOLTS, 4, "V")
        .between("second rise time to settle", "", 0, 1, "s")
        .near("warm-up settled", "", Rail.FULL_VOLTS, 4, "V")
        .between("warm-up time", "", 1, 20, "s")
        .near("hv", "", Rail.FULL_VOLTS, 2, "V")
        .between("hv spread", "", 0, 2, "V")
        .near("idle current", "", amperes, 1e-5, "A")
        .near("dissipation", "", watts, 0.1, "W")
        .near("dissipation share", "", 100 * watts / 12, 1, "%")
        .near("bias as set", "", 8.8, 0.001, "V")
        .near("hv by eye", "", 331, 0, "V")
        .curve("current", "", "s", rise, t -> 0.5, 0.5, "A")
        .near("current per minute", "", 0.06, 0.003, "A")
        .near("current change", "", 0.002, 0.0003, "A")
        .curve("discharge", "", "s", new double[] {0.1, 0.9}, t -> 170, 175, "V")
        .near("discharge time constant", "", Rail.TIME_CONSTANT_SECONDS, 0.05, "s")
        .near("discharge time to 60 V", "", 0.5 * Math.log(330 / 60.0), 0.25, "s")
        .near("discharge time to safe", "", 0.5 * Math.log(330 / 30.0), 0.25, "s");
  }

  @Test
  @DisplayName("First power through lamps, readings, dissipation, a trimmer, drift and discharge")
  void metersReadWhatIsThere() throws Exception {
    assertThat(meters.passed().steps())
        .allMatch(step -> step.outcome() == StepOutcome.PASSED)
        .hasSize(11);
  }

  @Test
  @DisplayName("No procedure is missing")
  void all() throws Exception {
    Set<String> done = new TreeSet<>(Set.of("prompt")); // which has no result
    for (Run run : List.of(responses, products, conditions)) {
      done.addAll(procedures(run));
    }
    done.addAll(procedures(meters));
    assertThat(done).containsAll(Procedures.ids());
  }

  private static Set<String> procedures(Run run) throws Exception {
    Set<String> named = new TreeSet<>();
    String plan = Files.readString(run.told().scene.records().resolveSibling("plan.yaml"));
    for (String line : plan.split("\n", -1)) {
      int at = line.indexOf("procedure: ");
      if (at >= 0) {
        named.add(line.substring(at + 11).split(",", 2)[0]);
      }
    }
    return named;
  }
}
