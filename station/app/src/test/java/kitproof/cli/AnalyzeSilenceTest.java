package kitproof.cli;

import static kitproof.cli.Recording.result;
import static kitproof.cli.Recording.sine;
import static kitproof.cli.Recording.value;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import kitproof.wav.WavEncoding;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Captures of nothing but hum and noise, of which the truth is known. */
class AnalyzeSilenceTest {
  @TempDir Path folder;

  @ParameterizedTest
  @CsvSource({
    "PCM_16, 44100, 200, 0.1",
    "PCM_24, 48000, -200, -0.2",
    "PCM_32, 96000, 50, 0",
    "FLOAT_32, 192000, 0, 0.05"
  })
  void linesOfTheMainsHaveTheirLevels(WavEncoding encoding, int rate, double ppm, double dc)
      throws IOException {
    DoubleUnaryOperator hum =
        t -> 0.02 * sine(49.97, t) + 0.01 * sine(99.94, t + 0.001) + 0.002 * sine(299.82, t);
    Path file = new Recording(encoding, rate, 2.137, ppm, 0.3, dc).wav(folder, hum);
    Cli cli = Cli.run("analyze", "hum", file, "--full-scale", "4 V peak", "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    // Of a sine of so many volts peak, rms; the flat top is true within 0.004 dB.
    assertThat(value(cli, "hum 50 Hz", "dBV")).isCloseTo(dbv(0.08), within(0.01));
    assertThat(value(cli, "hum 100 Hz", "dBV")).isCloseTo(dbv(0.04), within(0.01));
    assertThat(value(cli, "hum 300 Hz", "dBV")).isCloseTo(dbv(0.008), within(0.03));
    assertThat(value(cli, "hum 150 Hz", "dBV")).isLessThan(-90);
    double total = Math.sqrt(0.08 * 0.08 + 0.04 * 0.04 + 0.008 * 0.008);
    assertThat(value(cli, "hum", "dBV")).isCloseTo(dbv(total), within(0.01));
    assertThat(result(cli, "hum spectrum").get("unit").asText()).isEqualTo("dBV");
    Cli relative = Cli.run("analyze", "hum", file, "--json");
    // 0 dB is a full-scale sine (AES17).
    assertThat(value(relative, "hum 50 Hz", "dB")).isCloseTo(20 * Math.log10(0.02), within(0.01));
    assertThat(result(relative, "hum").get("conditions").get("reference").asText())
        .isEqualTo("full-scale sine");
  }

  private static double dbv(double peak) {
    return 20 * Math.log10(peak / Math.sqrt(2));
  }

  /** White noise: its rms in a band is the root of the band's share of half the sample rate. */
  @Test
  void whiteNoiseHasTheShareOfItsBand() throws IOException {
    Random random = new Random(5);
    DoubleUnaryOperator noise = t -> 1e-3 * random.nextGaussian();
    Path file = new Recording(WavEncoding.PCM_24, 96_000, 4, 0, 0, 0.1).wav(folder, noise);
    Object[] common = {"analyze", "noise", file, "--json", "--full-scale", "10 V peak"};
    Cli cli = run(common, "--load", "8 ohm", "--rated", "12.5 W");
    assertThat(cli.code()).as(cli.err()).isZero();
    double expected = 20 * Math.log10(1e-2 * Math.sqrt((20e3 - 20) / 48e3));
    assertThat(noise(cli, "none")).isCloseTo(expected, within(0.1));
    // weighting_noise_levels.csv (SciPy): what the curves make of white noise in this band.
    assertThat(noise(cli, "A")).isCloseTo(expected - 2.048, within(0.1));
    assertThat(noise(cli, "C")).isCloseTo(expected - 3.450, within(0.1));
    // 12.5 W in 8 ohm are 10 V, 20 dBV.
    for (var result : cli.json().get("results")) {
      if (result.get("name").asText().equals("signal-to-noise ratio")) {
        String weighting = result.get("conditions").get("weighting").asText();
        assertThat(result.get("value").asDouble())
            .isCloseTo(20 - noise(cli, weighting), within(1e-9));
        assertThat(result.get("conditions").get("rated").asText()).isEqualTo("12.5 W");
      }
    }
    assertThat(run(common).out()).doesNotContain("signal-to-noise");
    double narrow = 20 * Math.log10(1e-2 * Math.sqrt(1000 / 48e3));
    assertThat(noise(run(common, "--band", "1 kHz..2 kHz"), "none")).isCloseTo(narrow, within(0.3));
  }

  private static Cli run(Object[] common, Object... more) {
    Object[] all = java.util.Arrays.copyOf(common, common.length + more.length);
    System.arraycopy(more, 0, all, common.length, more.length);
    return Cli.run(all);
  }

  private static double noise(Cli cli, String weighting) {
    for (var result : cli.json().get("results")) {
      if (result.get("name").asText().equals("noise")
          && result.get("conditions").get("weighting").asText().equals(weighting)) {
        return result.get("value").asDouble();
      }
    }
    throw new AssertionError(cli.out() + cli.err());
  }

  @Test
  void aPartOfTheCaptureCanBeChosenAndTooLittleIsRefused() throws IOException {
    DoubleUnaryOperator louder = t -> (t < 1 ? 0.02 : 0.2) * sine(50, t);
    Path file = new Recording(WavEncoding.PCM_24, 48_000, 3, 0, 0, 0).wav(folder, louder);
    Cli early = Cli.run("analyze", "hum", file, "--for", "1 s", "--json");
    Cli late = Cli.run("analyze", "hum", file, "--from", "1 s", "--json");
    assertThat(value(late, "hum 50 Hz", "dB") - value(early, "hum 50 Hz", "dB"))
        .isCloseTo(20, within(0.02));
    Cli nothing = Cli.run("analyze", "noise", file, "--from", "2.5 s");
    assertThat(nothing.code()).isEqualTo(2);
    assertThat(nothing.out()).contains("invalid: 500 ms of capture, at least 1 s are needed");
  }
}
