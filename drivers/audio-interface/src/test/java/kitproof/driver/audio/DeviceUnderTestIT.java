package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import kitproof.driver.AudioInterface;
import kitproof.peer.SoundServer;
import kitproof.value.Signal;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;

/**
 * Devices under test that are not ours, in the loop: LADSPA plugins of Debian's swh-plugins and
 * ladspa-sdk, found to be what they are set to.
 */
class DeviceUnderTestIT {
  private static final int LENGTH = 48_000;
  private static final int CYCLES = 997;

  private static SoundServer server;

  @BeforeAll
  static void start() {
    server = SoundServer.start();
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  @Test
  @DisplayName("An attenuator set to a tenth is found at -20.00 dB")
  void attenuator() throws Exception {
    server.insert("amp", "amp_mono", 0.1);
    double[] captured = capture(0.9);

    double gain = Bench.Part.of(captured, CYCLES).peak() / 10 / 0.9;
    assertThat(Bench.decibels(gain)).isCloseTo(-20, within(0.0001));
    assertThat(Bench.residual(captured, CYCLES)).isLessThan(-100);
  }

  @Test
  @DisplayName("A harmonic generator is found with its second at -40 dB and its third at -60 dB")
  void harmonics() throws Exception {
    // Harmonic amplitudes of a full-scale sine: fundamental 0.9, second 0.009, third 0.0009.
    server.insert("harmonic_gen_1220", "harmonicGen", 0.9, 0.009, 0.0009, 0, 0, 0, 0, 0, 0, 0);
    double[] captured = capture(1);

    double fundamental = Bench.Part.of(captured, CYCLES).peak();
    assertThat(Bench.decibels(fundamental / 9)).isCloseTo(0, within(0.02));
    assertThat(relative(captured, 2, fundamental)).isCloseTo(-40, within(0.02));
    assertThat(relative(captured, 3, fundamental)).isCloseTo(-60, within(0.02));
    assertThat(relative(captured, 4, fundamental)).isLessThan(-100);
  }

  @Test
  @DisplayName("A valve's distortion is the same from run to run and has a second harmonic")
  void valve() throws Exception {
    server.insert("valve_1209", "valve", 0.5, 0.5);
    double[] first = capture(0.5);
    double[] second = capture(0.5);

    double fundamental = Bench.Part.of(first, CYCLES).peak();
    assertThat(relative(first, 2, fundamental)).isGreaterThan(-60);
    assertThat(relative(second, 2, Bench.Part.of(second, CYCLES).peak()))
        .isCloseTo(relative(first, 2, fundamental), within(0.02));
  }

  @Test
  @DisplayName("An inverting device is found inverted, and aligned all the same")
  void inverter() throws Exception {
    server.insert("inv_1429", "inv");
    double[] captured = capture(0.5);

    Bench.Part part = Bench.Part.of(captured, CYCLES);
    assertThat(part.peak()).isCloseTo(5, within(1e-4));
    assertThat(Math.abs(part.degrees())).isCloseTo(180, within(0.001));
  }

  private static double relative(double[] captured, int order, double fundamental) {
    return Bench.decibels(Bench.Part.of(captured, order * CYCLES).peak() / fundamental);
  }

  /** The second second of a tone, when the device has settled. */
  private static double[] capture(double peak) throws Exception {
    double[] tone = Bench.sine(2 * LENGTH, 2 * CYCLES, peak);
    try (AudioInterface audio = Bench.open()) {
      Signal captured = Bench.exchange(audio, Signal.of(48_000, tone, tone)).signal();
      return captured.slice(LENGTH, 2 * LENGTH).channel(0);
    }
  }
}
