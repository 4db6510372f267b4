package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.awaitility.Awaitility.await;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Alone;
import kitproof.peer.Peer;
import kitproof.peer.SoundServer;
import kitproof.value.Conditions;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Devices under test that are not ours, LADSPA plugins of Debian's swh-plugins and ladspa-sdk in a
 * sound server, measured by a plan's steps and judged by its limits.
 */
@Alone
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class DevicesUnderTestIT {
  /** Of outputs and inputs, but for the amplifier's. */
  private static final double FULL_SCALE_PEAK = 10;

  /** Of the amplifier, dB. */
  private static final double GAIN = 28.46;

  private final Opened opened = new Opened();
  private Path folder;
  private Run valve;
  private Run rounded16;
  private Run rounded24;
  private Run amplifier;

  /** A run under way. */
  private record Run(Scene scene, Program program, String unit) {
    RunRecord passed() throws Exception {
      return scene.ended(program, unit, Verdict.PASS);
    }
  }

  /** Signals take their time, so the runs go side by side, each with a sound server of its own. */
  @BeforeAll
  void start(@TempDir Path made) throws Exception {
    folder = made;
    valve =
        started(
            "valve",
            bench(32, "10 V peak", "10 V peak"),
            server -> server.insert("valve_1209", "valve", 0.5, 0.5),
            """
            steps:
              - {step: gain, procedure: gain, power: 1.5 W}
              - repeat: {channel: [left, right]}
                steps:
                  - {step: distortion, procedure: distortion, power: 1.5 W}
            """,
            "  - {result: thd, low: 0.1 %, high: 10 %}\n");
    rounded16 = wire(16);
    rounded24 = wire(24);
    // 20 dB of it between the full scales of output and input.
    amplifier =
        started(
            "amplifier",
            bench(32, "2 V peak", "20 V peak"),
            server -> server.insert("amp", "amp_mono", Math.pow(10, (GAIN - 20) / 20)),
            """
            steps:
              - {step: gain, procedure: gain, power: 20 W}
              - {step: climb, procedure: distortion-against-power, powers: 5 W..22 W, rated: 20 W}
            """,
            """
              - {result: gain, low: 28.45 dB, high: 28.47 dB}
              - {result: input sensitivity, low: 0.477 V, high: 0.479 V}
            """);
  }

  private Run wire(int bits) throws Exception {
    return started(
        "wire" + bits,
        bench(bits, "10 V peak", "10 V peak"),
        server -> {},
        """
        steps:
          - {step: gain, procedure: gain, power: 5 W}
          - {step: distortion, procedure: distortion, power: 5 W}
        """,
        """
          - {result: gain, low: -0.02 dB, high: 0.02 dB}
          - {result: thd+n, high: 0.003 %}
        """);
  }

  private Run started(
      String unit, String bench, Consumer<SoundServer> device, String steps, String limits)
      throws Exception {
    Path own = Files.createDirectories(folder.resolve(unit));
    SoundServer server =
        opened.add(SoundServer.start(Files.createDirectories(own.resolve("sound"))));
    device.accept(server);
    Scene scene =
        new Scene(own).sound(server.alsaConfiguration()).bench(bench).plan(steps).limits(limits);
    return new Run(scene, opened.add(scene.start(unit)), unit);
  }

  @AfterAll
  void stop() throws Exception {
    opened.close();
  }

  @Test
  @DisplayName(
      "A valve's distortion is what another host of it gives, second first, on either channel")
  void valve() throws Exception {
    RunRecord record = valve.passed();
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
  void wire(int bits, double noiseOfFullScale) throws Exception {
    RunRecord record = (bits == 16 ? rounded16 : rounded24).passed();
    assertThat(Results.value(record, "gain")).isCloseTo(0, within(0.0005));
    double level = decibels(Math.sqrt(5 * 8 * 2) / FULL_SCALE_PEAK);
    double inBand = 10 * Math.log10((20_000.0 - 20) / 24_000);
    assertThat(decibels(Results.value(record, "thd+n") / 100))
        .isCloseTo(noiseOfFullScale - level + inBand, within(1.5));
  }

  /** Common practice, no source: half a volt for 20 W in 8 ohm; in closed form 0.478 V. */
  @Test
  @DisplayName("An amplifier of 28.46 dB gain needs 0.478 V for 20 W in 8 ohm")
  void sensitivity() throws Exception {
    RunRecord record = amplifier.passed();
    assertThat(Results.value(record, "gain")).isCloseTo(GAIN, within(0.001));
    double volts = Results.value(record, "input sensitivity");
    assertThat(volts).isCloseTo(Math.sqrt(20 * 8) / Math.pow(10, GAIN / 20), within(1e-4));
    assertThat(volts).isCloseTo(0.478, within(0.0005));
  }

  private static String bench(int bits, String output, String input) {
    return """
    fixed-load: 8 ohm
    roles:
      audio:
        driver: audio-interface
        kind: audio-interface
        settings:
          bits: %1$d
          timeout: 20 s
          buffer: 300 ms # others compute on the same processors
          outputs: {left: {channel: 1, full-scale: %2$s}, right: {channel: 2, full-scale: %2$s}}
          inputs: {left: {channel: 1, full-scale: %3$s}, right: {channel: 2, full-scale: %3$s}}
    """
        .formatted(bits, output, input);
  }
}
