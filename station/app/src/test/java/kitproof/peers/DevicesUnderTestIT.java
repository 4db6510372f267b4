package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Peer;
import kitproof.peer.SoundServer;
import kitproof.value.Conditions;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Devices under test that are not ours, LADSPA plugins of Debian's swh-plugins and ladspa-sdk in a
 * sound server, measured by a plan's steps and judged by its limits.
 */
class DevicesUnderTestIT {
  /** The rms output of 5.0625 W in 8 ohm is 9 V peak, nine tenths of full scale. */
  private static final double FULL_SCALE_PEAK = 10;

  private static SoundServer server;
  @TempDir private Path folder;

  @BeforeAll
  static void start() {
    server = SoundServer.start();
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  @Test
  @DisplayName(
      "An attenuator set to -20 dB has a gain of -20.00 dB, a flat response, no distortion")
  void attenuator() throws Exception {
    server.insert("amp", "amp_mono", 0.1);
    RunRecord record =
        scene(24)
            .plan(
                """
                steps:
                  - {step: gain, procedure: gain, power: 40 mW}
                  - {step: response, procedure: frequency-response, power: 40 mW, band: 20 Hz..20 kHz, sweep: 2 s}
                  - {step: distortion, procedure: distortion, power: 40 mW}
                """)
            .limits(
                """
                  - {result: gain, low: -20.02 dB, high: -19.98 dB}
                  - result: frequency response
                    mask:
                      - {at: 20 Hz, low: -0.02 dB, high: 0.02 dB}
                      - {at: 20 kHz, low: -0.02 dB, high: 0.02 dB}
                  - {result: thd, high: 0.001 %}
                """)
            .run("attenuator", Verdict.PASS);

    assertThat(Results.value(record, "gain")).isCloseTo(-20, within(0.0001));
    double[] response = Results.curve(record, "frequency response").ys();
    assertThat(response).hasSizeGreaterThan(100);
    assertThat(Arrays.stream(response).map(Math::abs).max().orElseThrow()).isLessThan(0.001);
  }

  @Test
  @DisplayName(
      "A harmonic generator has its second at -40.00 dB, its third at -60.00 dB, 1.005 % THD")
  void harmonicGenerator() throws Exception {
    // Amplitudes from a full-scale sine, as the plugin is told: fundamental 0.9, second 0.009,
    // third 0.0009.
    server.insert("harmonic_gen_1220", "harmonicGen", 0.9, 0.009, 0.0009, 0, 0, 0, 0, 0, 0, 0);
    RunRecord record =
        scene(32)
            .plan("steps: [{step: distortion, procedure: distortion, power: 5.0625 W}]\n")
            .limits(
                """
                  - {result: harmonic 2, low: -40.02 dB, high: -39.98 dB}
                  - {result: harmonic 3, low: -60.03 dB, high: -59.97 dB}
                  - {result: harmonic 4, high: -100 dB}
                """)
            .run("generator", Verdict.PASS);

    assertThat(Results.value(record, "harmonic 2")).isCloseTo(-40, within(0.02));
    // The power is met within 0.01 dB, and the third harmonic changes twice as much.
    assertThat(Results.value(record, "harmonic 3")).isCloseTo(-60, within(0.03));
    double set = 100 * Math.hypot(0.01, 0.001);
    assertThat(Results.value(record, "thd")).isCloseTo(set, within(set * 0.0023)); // 0.02 dB
    assertThat(Results.value(record, "thd+n")).isCloseTo(set, within(set * 0.0023));
  }

  @Test
  @DisplayName(
      "A valve's distortion is what another host of it gives, second first, on either channel")
  void valve() throws Exception {
    server.insert("valve_1209", "valve", 0.5, 0.5);
    RunRecord record =
        scene(32)
            .plan(
                """
                steps:
                  - {step: gain, procedure: gain, power: 1.5 W}
                  - repeat: {channel: [left, right]}
                    steps:
                      - {step: distortion, procedure: distortion, power: 1.5 W}
                """)
            .limits("  - {result: thd, low: 0.1 %, high: 10 %}\n")
            .run("valve", Verdict.PASS);

    double gain = Results.value(record, "gain");
    double output = Math.sqrt(1.5 * 8 * 2) / FULL_SCALE_PEAK;
    double input = output / Math.pow(10, gain / 20);
    double[] expected = appliedByAnotherHost(input, 10);
    assertThat(gain).isCloseTo(decibels(expected[1] / input), within(0.02));
    // The output is levelled to within 0.01 dB, and these harmonics rise by up to 4.4 dB per dB.
    double tolerance = 0.01 * 4.4 + 0.006;
    double squares = 0;
    for (int order = 2; order <= 10; order++) {
      squares += Math.pow(expected[order] / expected[1], 2);
    }
    for (String channel : new String[] {"left", "right"}) {
      Conditions when = Conditions.of("channel", channel);
      for (int order = 2; order <= 5; order++) {
        assertThat(Results.value(record, "harmonic " + order, when))
            .as("%s harmonic %d", channel, order)
            .isCloseTo(decibels(expected[order] / expected[1]), within(tolerance));
      }
      assertThat(decibels(Results.value(record, "thd", when) / 100))
          .as("%s thd", channel)
          .isCloseTo(decibels(Math.sqrt(squares)), within(tolerance));
      assertThat(Results.value(record, "harmonic 2", when))
          .as("a stage with one valve makes second harmonic first (common practice, no source)")
          .isGreaterThan(Results.value(record, "harmonic 3", when) + 3);
    }
  }

  /**
   * Amplitudes by harmonic of a sine of this peak, given to the same plugin by the ladspa-sdk's own
   * host program, without sound server or station, and found by the defining sum.
   */
  private double[] appliedByAnotherHost(double peak, int highest) throws Exception {
    int second = 48_000;
    int cycles = 997;
    double[] sine = new double[2 * second];
    Arrays.setAll(sine, i -> peak * Math.sin(2 * Math.PI * ((long) cycles * i % second) / second));
    Path in = folder.resolve("in.wav");
    Path out = folder.resolve("out.wav");
    WavFile.of(WavEncoding.PCM_16, second, sine).write(in);
    Peer host =
        Peer.start(
            "ladspa-sdk swh-plugins",
            List.of(
                "applyplugin",
                in.toString(),
                out.toString(),
                "/usr/lib/ladspa/valve_1209.so",
                "valve",
                "0.5",
                "0.5"));
    try (host) {
      await().atMost(Duration.ofSeconds(30)).until(() -> !host.isAlive());
    }
    double[] settled = Arrays.copyOfRange(WavFile.read(out).channel(0), second, 2 * second);
    double[] amplitudes = new double[highest + 1];
    for (int order = 1; order <= highest; order++) {
      double cosine = 0;
      double sines = 0;
      for (int i = 0; i < second; i++) {
        double angle = 2 * Math.PI * ((long) order * cycles * i % second) / second;
        cosine += settled[i] * Math.cos(angle) * 2 / second;
        sines += settled[i] * Math.sin(angle) * 2 / second;
      }
      amplitudes[order] = Math.hypot(cosine, sines);
    }
    return amplitudes;
  }

  private static double decibels(double ratio) {
    return 20 * Math.log10(ratio);
  }

  @ParameterizedTest(name = "{0} bits")
  @DisplayName("Without a device the tone comes back with its level and the rounding of its bits")
  // The noise of rounding to n bits is 6.02 n + 1.76 dB below a full-scale sine (W. R. Bennett,
  // Spectra of Quantized Signals, 1948; from memory), evenly spread to 24 kHz.
  @CsvSource({"16, -98.08", "24, -146.24"})
  void loop(int bits, double noiseOfFullScale) throws Exception {
    server.remove();
    RunRecord record =
        scene(bits)
            .plan(
                """
                steps:
                  - {step: gain, procedure: gain, power: 5 W}
                  - {step: distortion, procedure: distortion, power: 5 W}
                """)
            .limits(
                """
                  - {result: gain, low: -0.02 dB, high: 0.02 dB}
                  - {result: thd+n, high: 0.003 %}
                """)
            .run("loop", Verdict.PASS);

    assertThat(Results.value(record, "gain")).isCloseTo(0, within(0.0005));
    double level = decibels(Math.sqrt(5 * 8 * 2) / FULL_SCALE_PEAK);
    double inBand = 10 * Math.log10((20_000.0 - 20) / 24_000);
    assertThat(decibels(Results.value(record, "thd+n") / 100))
        .isCloseTo(noiseOfFullScale - level + inBand, within(1.5));
  }

  private Scene scene(int bits) throws Exception {
    return new Scene(folder)
        .bench(
            """
            fixed-load: 8 ohm
            roles:
              audio:
                driver: audio-interface
                kind: audio-interface
                settings:
                  bits: %d
                  outputs: {left: {channel: 1, full-scale: 10 V peak}, right: {channel: 2, full-scale: 10 V peak}}
                  inputs: {left: {channel: 1, full-scale: 10 V peak}, right: {channel: 2, full-scale: 10 V peak}}
            """
                .formatted(bits));
  }
}
