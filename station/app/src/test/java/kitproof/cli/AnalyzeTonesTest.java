package kitproof.cli;

import static kitproof.cli.Recording.at;
import static kitproof.cli.Recording.result;
import static kitproof.cli.Recording.sine;
import static kitproof.cli.Recording.value;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.function.DoubleUnaryOperator;
import javax.imageio.ImageIO;
import kitproof.wav.WavEncoding;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Captures of tones and square waves of another clock, in closed form. */
class AnalyzeTonesTest {
  @TempDir Path folder;

  /** y = x + a2·x² + a3·x³ */
  private static double bent(double x, double a2, double a3) {
    return x + a2 * x * x + a3 * x * x * x;
  }

  /** Closed form of two tones a and b through the square: a·b at the sum and at the difference. */
  @ParameterizedTest
  @CsvSource({
    "PCM_16, 44100, 200, 0.01",
    "PCM_24, 48000, -200, -0.05",
    "PCM_32, 96000, 91, 0.1",
    "FLOAT_32, 192000, -33, 0"
  })
  void pairsOfTones(WavEncoding encoding, int rate, double ppm, double dc) throws IOException {
    Recording recording = new Recording(encoding, rate, 0.7654, ppm, 0.123, dc);
    double a = 0.3;
    double a2 = 0.02;
    double a3 = -0.05;
    Path equal = recording.wav(folder, t -> bent(a * sine(19e3, t) + a * sine(20e3, t), a2, a3));
    Cli cli =
        Cli.run(
            "analyze",
            "difference-frequency-distortion",
            equal,
            "--full-scale",
            "10 V peak",
            "--load",
            "8 ohm",
            "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    // Each tone comes out with a + a3·(3/4·a³ + 3/2·a³), the third-order pair with 3/4·a3·a³.
    double tone = a + a3 * 2.25 * a * a * a;
    double second = 100 * a2 * a * a / (2 * tone);
    double third = 100 * 2 * 0.75 * Math.abs(a3) * a * a * a / (2 * tone);
    assertThat(value(cli, "difference-frequency distortion 2", "%"))
        .isCloseTo(second, within(2e-3));
    assertThat(value(cli, "difference-frequency distortion 3", "%")).isCloseTo(third, within(2e-3));
    assertThat(value(cli, "product f2-f1", "dB"))
        .isCloseTo(20 * Math.log10(a2 * a * a / tone), within(0.05));
    double rms = 10 * 2 * tone / Math.sqrt(2);
    assertThat(value(cli, "level", "V")).isCloseTo(rms, within(1e-3));
    assertThat(value(cli, "power", "W")).isCloseTo(rms * rms / 8, within(1e-3));

    double low = 0.4;
    double high = 0.1;
    Path unequal =
        recording.wav(folder, t -> bent(low * sine(60, t) + high * sine(7000, t), a2, 0));
    Cli modulation = Cli.run("analyze", "modulation-distortion", unequal, "--json");
    assertThat(modulation.code()).as(modulation.err()).isZero();
    // Both sidebands together over the high tone: 2·a2·low.
    assertThat(value(modulation, "modulation distortion 2", "%"))
        .isCloseTo(200 * a2 * low, within(5e-3));
    assertThat(value(modulation, "sideband f2+f1", "dB"))
        .isCloseTo(20 * Math.log10(a2 * low), within(0.05));
    assertThat(value(modulation, "sideband f2-2f1", "dB")).isLessThan(-75);
  }

  @Test
  void spectrumAndResidualWaveform() throws IOException {
    Path file =
        new Recording(WavEncoding.PCM_24, 96_000, 0.777, 150, 0.2, 0.1)
            .wav(folder, t -> 0.5 * sine(1000, t) + 0.005 * sine(3000, t) + 0.0005 * sine(2000, t));
    Path kept = folder.resolve("spectrum.json");
    Cli cli =
        Cli.run(
            "analyze", "spectrum", file, "--full-scale", "20 V peak", "--json", "--curves", kept);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(at(cli, "harmonic spectrum", 1000)).isCloseTo(0, within(0.005));
    assertThat(at(cli, "harmonic spectrum", 2000)).isCloseTo(-60, within(0.01));
    assertThat(at(cli, "harmonic spectrum", 3000)).isCloseTo(-40, within(0.01));
    double most = 0;
    int crossings = 0;
    double before = 0;
    for (var y : result(cli, "residual waveform").get("y")) {
      most = Math.max(most, Math.abs(y.asDouble()));
      crossings += before * y.asDouble() < 0 ? 1 : 0;
      before = y.asDouble();
    }
    assertThat(most).isBetween(0.99, 1.11); // percent: 1 % third, a tenth of it second
    // Common practice, no source: three waves per cycle of a third harmonic; three cycles.
    assertThat(crossings).isBetween(17, 19);
    assertThat(result(cli, "waveform").get("unit").asText()).isEqualTo("V");

    double volts = 20 * Math.log10(10 / Math.sqrt(2));
    assertThat(at(cli, "spectrum", 1000)).isCloseTo(volts, within(0.005));
    assertThat(at(cli, "spectrum", 3000)).isCloseTo(volts - 40, within(0.01));
    assertThat(result(cli, "spectrum").get("unit").asText()).isEqualTo("dBV");
    Cli relative = Cli.run("analyze", "spectrum", file, "--json");
    double half = 20 * Math.log10(0.5); // 0 dB is a full-scale sine (AES17)
    assertThat(at(relative, "spectrum", 1000)).isCloseTo(half, within(0.005));
    assertThat(result(relative, "spectrum").get("unit").asText()).isEqualTo("dB");

    Path picture = folder.resolve("spectrum.png");
    Cli plot = Cli.run("plot", kept, "--out", picture);
    assertThat(plot.out()).as(plot.err()).startsWith("4 plots: ");
    assertThat(ImageIO.read(picture.toFile()).getWidth()).isGreaterThan(1000);
  }

  @Test
  void anOscillationIsFoundAndNoneIsNoBadInput() throws IOException {
    Recording recording = new Recording(WavEncoding.PCM_24, 192_000, 0.5, -170, 0, 0.05);
    DoubleUnaryOperator driven = t -> bent(0.5 * sine(1000, t), 0.01, 0.02);
    Path stable = recording.wav(folder, driven);
    Path howling = recording.wav(folder, t -> driven.applyAsDouble(t) + 1e-3 * sine(61_234, t));
    Cli cli = Cli.run("analyze", "stability", howling, "--full-scale", "20 V peak", "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(value(cli, "stray line", "dBV"))
        .isCloseTo(20 * Math.log10(0.02 / Math.sqrt(2)), within(0.02));
    assertThat(value(cli, "stray line frequency", "Hz")).isCloseTo(61_234, within(15.0));
    Cli none = Cli.run("analyze", "stability", stable, "--full-scale", "20 V peak");
    assertThat(none.code()).as(none.err()).isZero();
    assertThat(none.out()).contains("invalid: no line stands out of the noise");
  }

  @Test
  void aLineOfTheInterfaceItselfIsPassedOver() throws IOException {
    Recording recording = new Recording(WavEncoding.PCM_24, 192_000, 0.5, 0, 0, 0);
    Path file =
        recording.wav(
            folder, t -> 0.5 * sine(1000, t) + 1e-3 * sine(61_234, t) + 1e-4 * sine(43_210, t));
    String bench = Files.readString(Cli.example("bench-simulated.yaml"));
    Path told =
        Files.writeString(
            folder.resolve("bench.yaml"),
            bench.replaceFirst(
                "residual: \\{", "residual: {spurs: [{at: 61234 Hz, input: -60 dB}], "));
    Cli cli =
        Cli.run(
            "analyze", "stability", file, "--full-scale", "20 V peak", "--bench", told, "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(value(cli, "stray line frequency", "Hz")).isCloseTo(43_210, within(15.0));
    assertThat(cli.out()).contains("61.23 kHz is the station's own and passed over");
    Files.writeString(told, "bench: none\n");
    assertThat(Cli.run("analyze", "stability", file, "--bench", told).code()).isEqualTo(2);
  }

  /** Closed form of two poles: overshoot exp(-πζ/√(1-ζ²)), ringing at f₀·√(1-ζ²). */
  @ParameterizedTest
  @CsvSource({"PCM_16, 96000, 200", "FLOAT_32, 192000, -200"})
  void aSquareWave(WavEncoding encoding, int rate, double ppm) throws IOException {
    double zeta = 0.3;
    double f0 = rate / 64.0;
    double hz = f0 / 15 * 1.0031;
    double root = Math.sqrt(1 - zeta * zeta);
    double w = 2 * Math.PI * f0;
    DoubleUnaryOperator wave =
        t -> {
          // The step's answer after each edge; what the edges before have left is gone by then.
          double half = t * 2 * hz;
          double since = (half - Math.floor(half)) / (2 * hz);
          double sign = Math.floorMod((long) Math.floor(half), 2L) == 0 ? 1 : -1;
          double rest =
              Math.exp(-zeta * w * since)
                  * (Math.cos(root * w * since) + zeta / root * Math.sin(root * w * since));
          return 0.3 * sign * (1 - 2 * rest);
        };
    Path file = new Recording(encoding, rate, 0.4567, ppm, 0.3, 0.02).wav(folder, wave);
    Cli cli = Cli.run("analyze", "square-wave", file, "--full-scale", "10 V peak", "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(value(cli, "overshoot", "%"))
        .isCloseTo(100 * Math.exp(-Math.PI * zeta / root), within(1.0));
    assertThat(value(cli, "ringing frequency", "Hz")).isCloseTo(f0 * root, within(0.02 * f0));
    // What still rings where the top's line is laid tilts it.
    assertThat(value(cli, "sag", "%")).isCloseTo(0, within(1.0));
    assertThat(result(cli, "square wave").get("unit").asText()).isEqualTo("V");
    double rise = value(cli, "rise time", "s");
    Cli less =
        Cli.run(
            "analyze", "square-wave", file, "--stimulus-rise", rise * 0.6 * 1e6 + " us", "--json");
    assertThat(value(less, "rise time", "s")).isCloseTo(0.8 * rise, within(1e-3 * rise));
  }

  @Test
  void gainFromTheDriveAndFromAReferenceChannel() throws IOException {
    Recording recording = new Recording(WavEncoding.PCM_24, 48_000, 1.01, 120, 0, 0.03);
    Path file = recording.wav(folder, t -> 0.4 * sine(1000, t + 1e-5), t -> 0.2 * sine(1000, t));
    Cli given =
        Cli.run("analyze", file, "--full-scale", "40 V peak", "--drive", "0.8 V peak", "--json");
    assertThat(value(given, "gain", "dB", "1")).isCloseTo(20 * Math.log10(16 / 0.8), within(1e-3));
    Cli recorded =
        Cli.run(
            "analyze",
            file,
            "--full-scale",
            "40 V",
            "--reference",
            "2",
            "--reference-full-scale",
            "4 V",
            "--json");
    assertThat(recorded.code()).as(recorded.err()).isZero();
    assertThat(value(recorded, "gain", "dB")).isCloseTo(20 + 20 * Math.log10(2), within(1e-3));
    assertThat(value(Cli.run("analyze", file, "--reference", "2", "--json"), "gain", "dB"))
        .isCloseTo(20 * Math.log10(2), within(1e-3));
    assertThat(Cli.run("analyze", file, "--reference", "3").err())
        .contains("found no channel 3; expected one of 1 to 2");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "hum|--mains|50|--mains: found \"50\"; expected a quantity in Hz",
        "hum|--lines|0|--lines: found 0; expected 1 to 50",
        "hum|--lines|30|--highest: found \"1 kHz\"; expected a spectrum that reaches",
        "noise|--rated|12 W|--rated and --load make a signal-to-noise ratio together",
        "noise|--load|8 ohm|--load gives a power only with --full-scale",
        "noise|--band|1 kHz..1 kHz|--band: found \"1 kHz..1 kHz\"; expected a range in Hz",
        "spectrum|--periods|21|--periods: found 21; expected 1 to 20",
        "stability|--look-from|0 Hz|--look-from: found \"0 Hz\"; expected a quantity in Hz",
        "square-wave|--stimulus-rise|1 V|--stimulus-rise: found \"1 V\"; expected a quantity in s",
        "difference-frequency-distortion|--high|50 kHz|less than an octave above 19 kHz",
        "modulation-distortion|--low|6 kHz|two octaves or more above 6 kHz",
        "distortion-against-frequency|--harmonics|1|--harmonics: found 1; expected 2 to 50",
        "distortion-against-frequency|--tone-length|0 s|--tone-length: found \"0 s\"; expected",
      })
  void wrongSettingsAreNamedBeforeAnythingIsRead(
      String command, String option, String value, String message) {
    Path missing = folder.resolve("missing.wav");
    Cli cli =
        value == null
            ? Cli.run("analyze", command, missing, option)
            : Cli.run("analyze", command, missing, option, value);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains(message).doesNotContain("no such file");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "sweep",
        "output-impedance",
        "input-impedance",
        "crosstalk",
        "channel-balance",
        "distortion-against-power",
        "distortion-against-frequency",
        "difference-frequency-distortion",
        "modulation-distortion",
        "hum",
        "noise",
        "spectrum",
        "square-wave",
        "stability"
      })
  void helpHasExamples(String command) {
    Cli cli = Cli.run("analyze", command, "--help");
    assertThat(cli.code()).isZero();
    assertThat(cli.out()).containsPattern("Examples?:\n  kitproof analyze " + command);
    assertThat(cli.out().lines()).allMatch(l -> l.length() <= 100);
    assertThat(Cli.run("analyze", "--help").out()).contains("  " + command);
  }

  @Test
  void whatCannotBeMeasuredIsInvalidAndBadInput() throws IOException {
    Recording recording = new Recording(WavEncoding.PCM_16, 44_100, 1.5, 0, 0, 0);
    Path silent = recording.wav(folder, t -> 0);
    Path loud = recording.wav(folder, t -> 1.5 * sine(1000, t));
    for (String command :
        new String[] {
          "spectrum",
          "stability",
          "square-wave",
          "difference-frequency-distortion",
          "modulation-distortion",
          "distortion-against-frequency"
        }) {
      Cli nothing = Cli.run("analyze", command, silent);
      assertThat(nothing.code()).as(command + nothing.out()).isEqualTo(2);
      assertThat(nothing.out()).as(command).contains("invalid: no");
      Cli over = Cli.run("analyze", command, loud);
      assertThat(over.code()).as(command).isEqualTo(2);
      assertThat(over.out()).as(command).contains("reaches full scale");
      assertThat(Cli.run("analyze", command, folder.resolve("none.wav")).err())
          .contains("none.wav: found no such file; expected a WAV or FLAC file");
    }
    Cli narrow = Cli.run("analyze", "noise", silent, "--band", "20 Hz..40 kHz");
    assertThat(narrow.out()).contains("invalid: 40 kHz is beyond half of the capture's sample");
    assertThat(Cli.run("analyze", "hum", silent, "--channel", "2").err())
        .contains("found no channel 2; expected one of 1 to 1");
  }
}
