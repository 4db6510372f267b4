package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import javax.imageio.ImageIO;
import kitproof.signal.Sweep;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Captured sweeps through dividers in closed form, on a recorder that begins when it likes. */
class AnalyzeSweepTest {
  private static final int RATE = 48_000;
  private static final Sweep SWEEP = Sweep.synchronised(20, 20_000, 1, RATE);
  private static final String[] PLAYED = {"--sweep", "20 Hz..20 kHz", "--duration", "1 s"};
  @TempDir Path folder;
  private final Random random = new Random(5);

  private double[] captured(double gain, int delay) {
    double[] samples = new double[SWEEP.length() + 20_000];
    double[] played = SWEEP.samples(0.5);
    for (int i = 0; i < samples.length; i++) {
      int at = i - delay;
      samples[i] =
          0.01
              + 1e-6 * random.nextGaussian()
              + (at >= 0 && at < played.length ? gain * played[at] : 0);
    }
    return samples;
  }

  private Path wav(double[]... channels) throws IOException {
    Path file = Files.createTempFile(folder, "capture", ".wav");
    WavFile.of(WavEncoding.PCM_24, RATE, channels).write(file);
    return file;
  }

  private static Cli analyze(Object... arguments) {
    Object[] all = new Object[arguments.length + PLAYED.length + 1];
    all[0] = "analyze";
    System.arraycopy(arguments, 0, all, 1, arguments.length);
    System.arraycopy(PLAYED, 0, all, arguments.length + 1, PLAYED.length);
    return Cli.run(all);
  }

  private static double value(Cli cli, String name) {
    for (JsonNode result : cli.json().get("results")) {
      if (result.get("name").asText().equals(name)) {
        return result.get("value").asDouble();
      }
    }
    throw new AssertionError(name + " in " + cli.out() + cli.err());
  }

  private static double[] curve(Cli cli, String name) throws IOException {
    for (JsonNode result : cli.json().get("results")) {
      if (result.get("name").asText().equals(name)) {
        double[] y = new double[result.get("y").size()];
        for (int i = 0; i < y.length; i++) {
          y[i] = result.get("y").get(i).asDouble();
        }
        return y;
      }
    }
    throw new AssertionError(name + " in " + cli.out() + cli.err());
  }

  @Test
  void aDividerIsFlatWithItsGainItsDelayAndItsPolarity() throws IOException {
    Path file = wav(captured(-0.5, 4321));
    Cli cli = analyze("sweep", file, "--json", "--full-scale", "10 V peak", "--drive", "5 V peak");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(value(cli, "gain")).isCloseTo(20 * Math.log10(0.5), within(0.002));
    assertThat(value(cli, "start")).isCloseTo(4321.0 / RATE, within(1e-6));
    assertThat(value(cli, "polarity")).isEqualTo(-1);
    assertThat(value(cli, "clock deviation")).isCloseTo(0, within(1e-5));
    // A sweep of one second under an offset is true to hundredths of a dB at its lower edge.
    assertThat(curve(cli, "frequency response")).usingComparatorWithPrecision(0.03).containsOnly(0);
  }

  @Test
  void twoLoadsGiveTheOutputImpedanceAndItsCurvesCanBeDrawn() throws IOException {
    Path first = wav(captured(8 / 8.4, 1000));
    Path second = wav(captured(6 / 6.4, 7777));
    Path curves = folder.resolve("impedance.json");
    Object[] command = {
      "output-impedance",
      first,
      second,
      "--first-load",
      "8 ohm",
      "--second-load",
      "6 ohm",
      "--curves",
      curves,
      "--json"
    };
    Cli cli = analyze(command);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(value(cli, "damping factor at 1 kHz")).isCloseTo(20, within(0.2));
    assertThat(curve(cli, "output impedance")).usingComparatorWithPrecision(0.01).containsOnly(0.4);
    Path picture = folder.resolve("impedance.png");
    Cli plot = Cli.run("plot", curves, "--out", picture);
    assertThat(plot.code()).as(plot.err()).isZero();
    assertThat(plot.out()).startsWith("3 plots: ");
    assertThat(ImageIO.read(picture.toFile()).getWidth()).isGreaterThan(1000);
  }

  @Test
  void aSecondSweepThatWasPlayedLowerGivesTheSameImpedance() throws IOException {
    double lower = 0.845; // 1.463 dB, as a run plays into 20 ohm beside 8 ohm
    Object[] command = {
      "output-impedance",
      wav(captured(8 / 8.4, 1000)),
      wav(captured(lower * 6 / 6.4, 7777)),
      "--first-load",
      "8 ohm",
      "--second-load",
      "6 ohm",
      "--second-lower",
      "1.463 dB",
      "--json"
    };
    Cli cli = analyze(command);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(curve(cli, "output impedance")).usingComparatorWithPrecision(0.01).containsOnly(0.4);
    command[8] = "0 dB";
    assertThat(value(analyze(command), "output impedance at 1 kHz"))
        .as("without being told")
        .isGreaterThan(1);
    command[8] = "-1 dB";
    assertThat(analyze(command).err()).contains("--second-lower: found \"-1 dB\"");
  }

  @Test
  void aSeriesResistorGivesTheInputImpedance() throws IOException {
    double input = 100e3;
    Path without = wav(captured(0.9 * input / (input + 100), 1000));
    Path with = wav(captured(0.9 * input / (input + 100 + 47e3), 1234));
    Cli cli =
        analyze(
            "input-impedance",
            without,
            with,
            "--resistor",
            "47 kohm",
            "--source",
            "100 ohm",
            "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(value(cli, "input impedance at 1 kHz")).isCloseTo(input, within(0.005 * input));
  }

  @Test
  void twoChannelsGiveCrosstalkAndBalance() throws IOException {
    Path driven = wav(captured(0.8, 3000), captured(0.0008, 3000));
    Path silence = wav(captured(0, 0), captured(0, 0));
    Cli crosstalk = analyze("crosstalk", driven, "--silence", silence, "--json");
    assertThat(crosstalk.code()).as(crosstalk.err()).isZero();
    assertThat(value(crosstalk, "crosstalk at 1 kHz")).isCloseTo(-60, within(0.1));
    Path both = wav(captured(0.8, 3000), captured(0.4, 3000));
    Cli balance = analyze("channel-balance", both, "--json");
    assertThat(value(balance, "channel balance at 1 kHz"))
        .isCloseTo(20 * Math.log10(2), within(0.002));
  }

  /** A. Farina's sweep of 2000, faded at both ends: made elsewhere, at another sample rate. */
  private static double farina(double t) {
    double perFactor = 2 / Math.log(21e3 / 18);
    return t < 0 || t > 2
        ? 0
        : 0.5
            * Math.min(1, Math.min(t / 0.02, (2 - t) / 0.005))
            * Math.sin(2 * Math.PI * 18 * perFactor * (Math.exp(t / perFactor) - 1));
  }

  @Test
  void theStimulusMayBeAFileOfAnotherSampleRateAndTheInputAChannel() throws IOException {
    Path stimulus =
        new Recording(WavEncoding.PCM_24, 44_100, 2.5, 0, -0.1, 0)
            .wav(folder, AnalyzeSweepTest::farina);
    Path file =
        new Recording(WavEncoding.PCM_24, 48_000, 3, 150, -0.4567, 0.01)
            .wav(folder, t -> -1.6 * farina(t), t -> 0.8 * farina(t));
    Object[] command = {
      "analyze",
      "sweep",
      file,
      "--sweep",
      "20 Hz..20 kHz",
      "--stimulus",
      stimulus,
      "--reference",
      "2",
      "--full-scale",
      "20 V",
      "--reference-full-scale",
      "2 V",
      "--json"
    };
    Cli cli = Cli.run(command);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(value(cli, "gain")).isCloseTo(20 + 20 * Math.log10(2), within(1e-3));
    assertThat(value(cli, "polarity")).isEqualTo(-1);
    assertThat(value(cli, "clock deviation")).isCloseTo(0.015, within(1e-4));
    assertThat(curve(cli, "frequency response")).usingComparatorWithPrecision(0.01).containsOnly(0);
    Path noise = wav(captured(0, 0));
    Cli wrong = Cli.run("analyze", "sweep", file, "--sweep", "20 Hz..20 kHz", "--stimulus", noise);
    assertThat(wrong.code()).isEqualTo(2);
    assertThat(wrong.err())
        .contains("--stimulus: found a stimulus whose frequency does not rise exponentially");
    assertThat(Cli.run("analyze", "sweep", file, "--sweep", "20 Hz..20 kHz").err())
        .contains("Say how the sweep was played: --duration TIME or --stimulus FILE");
    assertThat(analyze("sweep", file, "--stimulus", stimulus).err())
        .contains("--duration says nothing with --stimulus");
  }

  @Test
  void wrongInputIsToldWithWhatWasExpected() throws IOException {
    Path file = wav(captured(0.5, 0));
    assertThat(Cli.run("analyze").err()).contains("Say what to analyze");
    assertThat(analyze("sweep", folder.resolve("none.wav")).err())
        .contains("none.wav: found no such file; expected a WAV or FLAC file");
    assertThat(
            Cli.run("analyze", "sweep", file, "--sweep", "20 kHz..20 Hz", "--duration", "1 s")
                .err())
        .contains("--sweep: found \"20 kHz..20 Hz\"; expected a range in Hz");
    assertThat(
            Cli.run("analyze", "sweep", file, "--sweep", "20 Hz..20 kHz", "--duration", "60 s")
                .out())
        .contains("invalid: ");
    assertThat(analyze("crosstalk", file).err()).contains("found no channel 2; expected one of 1");
    Cli same =
        analyze("output-impedance", file, file, "--first-load", "8 ohm", "--second-load", "8 ohm");
    assertThat(same.code()).isEqualTo(2);
    assertThat(same.out()).contains("they must differ");
  }
}
