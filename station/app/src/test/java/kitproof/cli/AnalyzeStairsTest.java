package kitproof.cli;

import static kitproof.cli.Recording.at;
import static kitproof.cli.Recording.result;
import static kitproof.cli.Recording.sine;
import static kitproof.cli.Recording.value;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;
import kitproof.wav.WavEncoding;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Captured staircases and steps of an amplifier y = 10·x - c·x³, in closed form. */
class AnalyzeStairsTest {
  private static final double CUBIC = 1.5;
  private static final int STAIRS = 16;
  private static final double LOW = 0.1;
  private static final double HIGH = 1.2;
  private static final double STAIR = 0.15;
  @TempDir Path folder;

  private static double drivePeak(double t) {
    int stair = (int) Math.floor(t / STAIR);
    return stair < 0 || stair >= STAIRS ? 0 : LOW * Math.pow(HIGH / LOW, stair / (STAIRS - 1.0));
  }

  private static double drive(double t) {
    return drivePeak(t) * sine(1000, t);
  }

  private static double output(double x) {
    return 10 * x - CUBIC * x * x * x;
  }

  /** sin³ = 3/4·sin - 1/4·sin 3·: the fundamental of a drive, and its third harmonic's ratio. */
  private static double fundamental(double peak) {
    return 10 * peak - 0.75 * CUBIC * peak * peak * peak;
  }

  private static double third(double peak) {
    return 0.25 * CUBIC * peak * peak * peak / fundamental(peak);
  }

  private static double watts(double peak) {
    return fundamental(peak) * fundamental(peak) / 2 / 8;
  }

  /** The drive, by halving, at which something that grows with it reaches a value. */
  private static double driveFor(DoubleUnaryOperator of, double value) {
    double low = 0;
    double high = HIGH;
    for (int i = 0; i < 60; i++) {
      double middle = (low + high) / 2;
      if (of.applyAsDouble(middle) < value) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }

  private static Cli run(Path file, Object... more) {
    Object[] common = {
      "analyze",
      "distortion-against-power",
      file,
      "--stair",
      "150 ms",
      "--full-scale",
      "20 V peak",
      "--load",
      "8 ohm",
      "--rated",
      "4 W",
      "--json"
    };
    Object[] all = Arrays.copyOf(common, common.length + more.length);
    System.arraycopy(more, 0, all, common.length, more.length);
    return Cli.run(all);
  }

  @Test
  void powersAndSensitivityFromTheDriveAsGivenAndAsRecorded() throws IOException {
    Recording recording = new Recording(WavEncoding.PCM_24, 48_000, 3.4, -200, -0.4321, 0.02);
    // The second channel recorded the drive; full scale of it stands for 2 V peak.
    Path file = recording.wav(folder, t -> output(drive(t)) / 20, t -> drive(t) / 2);
    String range = LOW / Math.sqrt(2) + " V.." + HIGH / Math.sqrt(2) + " V";
    Cli given = run(file, "--channel", "1", "--drive", range, "--stairs", STAIRS);
    Cli recorded = run(file, "--reference", "2", "--reference-full-scale", "2 V peak");
    for (Cli cli : new Cli[] {given, recorded}) {
      assertThat(cli.code()).as(cli.err() + cli.out()).isZero();
      double sensitivity = driveFor(AnalyzeStairsTest::watts, 4) / Math.sqrt(2);
      assertThat(value(cli, "input sensitivity", "V"))
          .isCloseTo(sensitivity, within(2e-3 * sensitivity));
      double onePercent = watts(driveFor(AnalyzeStairsTest::third, 0.01));
      // Between stairs 1.44 dB apart distortion is taken as straight over the logarithm of power.
      assertThat(value(cli, "power at 1 %", "W")).isCloseTo(onePercent, within(0.03 * onePercent));
      double threePercent = watts(driveFor(AnalyzeStairsTest::third, 0.03));
      assertThat(value(cli, "clipping power", "W"))
          .isCloseTo(threePercent, within(0.03 * threePercent));
      assertThat(result(cli, "thd against power").get("x")).hasSize(STAIRS);
      assertThat(at(cli, "thd against power", watts(HIGH)))
          .isCloseTo(100 * third(HIGH), within(1e-3));
      assertThat(at(cli, "input voltage against power", watts(LOW)))
          .isCloseTo(LOW / Math.sqrt(2), within(1e-4));
    }
  }

  @Test
  void anotherNumberOfStairsThanGivenIsRefused() throws IOException {
    Recording recording = new Recording(WavEncoding.PCM_16, 44_100, 3.4, 0, -0.4, 0);
    Path file = recording.wav(folder, t -> output(drive(t)) / 20);
    Cli cli = run(file, "--drive", "100 mV..1 V", "--stairs", "18");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.out()).contains("16 stairs of the tone in the capture, not 18");
    Path none = folder.resolve("none.wav");
    assertThat(run(none).err()).contains("--rated needs --drive or --reference beside it");
    assertThat(run(none, "--drive", "1 V..2 V").err()).contains("--drive needs --stairs N");
    assertThat(run(none, "--drive", "0 V..2 V", "--stairs", "3").err())
        .contains("--drive: found \"0 V..2 V\"; expected volts above zero");
    assertThat(run(none, "--settle", "140 ms", "--reference", "2").err())
        .contains("--settle: found \"140 ms\"; expected at most 80 % of a stair");
    assertThat(Cli.run("analyze", "distortion-against-power", none, "--stair", "1 s").err())
        .contains("Powers need --full-scale");
  }

  @Test
  void stepsOfFrequencyInOneCaptureAndInSeveral() throws IOException {
    double[] hertz = {50, 100, 400, 1000, 3000, 6000};
    DoubleUnaryOperator steps =
        t -> {
          int step = (int) Math.floor(t / 0.6);
          return step < 0 || step >= hertz.length ? 0 : output(0.5 * sine(hertz[step], t)) / 20;
        };
    Path stepped =
        new Recording(WavEncoding.PCM_24, 96_000, 4.2, 180, -0.277, -0.05).wav(folder, steps);
    Cli cli =
        Cli.run("analyze", "distortion-against-frequency", stepped, "--json", "--constant-drive");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(result(cli, "thd against frequency").get("x")).hasSize(hertz.length);
    Recording other = new Recording(WavEncoding.FLOAT_32, 48_000, 1.3, -50, 0.1, 0);
    Path one = other.wav(folder, t -> output(0.5 * sine(5000, t)) / 20);
    Path two = other.wav(folder, t -> output(0.5 * sine(200, t)) / 20);
    Cli both = Cli.run("analyze", "distortion-against-frequency", one, two, "--json");
    assertThat(result(both, "thd against frequency").get("x")).hasSize(2);
    for (double hz : new double[] {50, 1000, 6000}) {
      assertThat(at(cli, "frequency response", hz)).isCloseTo(0, within(1e-3));
      assertThat(at(cli, "thd against frequency", hz)).isCloseTo(100 * third(0.5), within(1e-3));
      assertThat(at(cli, "harmonic 3 against frequency", hz))
          .isCloseTo(20 * Math.log10(third(0.5)), within(0.01));
    }
    assertThat(at(both, "thd+n against frequency", 200)).isCloseTo(100 * third(0.5), within(2e-3));
  }
}
