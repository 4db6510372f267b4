package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Objects;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.IntStream;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Captures whose content is known in closed form, from the file to what is printed. */
class AnalyzeTest {
  private static final int RATE = 96_000;

  /** No whole number of periods fits into any block used here. */
  private static final double TONE = 997.31;

  @TempDir Path folder;

  /** One second of a function of the phase, in radians, of the tone. */
  private static double[] samples(int rate, DoubleUnaryOperator ofPhase) {
    return IntStream.range(0, rate)
        .mapToDouble(i -> ofPhase.applyAsDouble(2 * Math.PI * TONE * i / rate + 0.3))
        .toArray();
  }

  private static double[] sine(double amplitude) {
    return samples(RATE, phase -> amplitude * Math.sin(phase));
  }

  private Path wav(WavEncoding encoding, int rate, double[]... channels) throws IOException {
    Path file = Files.createTempFile(folder, "capture", ".wav");
    WavFile.of(encoding, rate, channels).write(file);
    return file;
  }

  private static JsonNode result(Cli cli, String name) {
    JsonNode found = null;
    for (JsonNode result : cli.json().get("results")) {
      if (result.get("name").asText().equals(name)) {
        assertThat(found).as("a second " + name).isNull();
        found = result;
      }
    }
    return Objects.requireNonNull(found, name);
  }

  private static double value(Cli cli, String name, String unit) {
    JsonNode result = result(cli, name);
    assertThat(result.get("unit").asText()).as(name).isEqualTo(unit);
    return result.get("value").asDouble();
  }

  @ParameterizedTest
  @EnumSource(WavEncoding.class)
  void aSineWithTwoHarmonicsIsReadFromEveryEncoding(WavEncoding encoding) throws IOException {
    Path file =
        wav(
            encoding,
            RATE,
            samples(
                RATE,
                p -> 0.5 * (Math.sin(p) + 0.01 * Math.sin(2 * p) + 0.001 * Math.sin(3 * p + 1))));
    Cli cli = Cli.run("analyze", file, "--json");
    assertThat(cli.code()).isZero();
    // By construction: half of full scale is 20 log10 0.5 below a full-scale sine (AES17).
    assertThat(value(cli, "level", "dB")).isCloseTo(20 * Math.log10(0.5), within(1e-3));
    assertThat(value(cli, "frequency", "Hz")).isCloseTo(TONE, within(1e-3));
    // 16-bit rounding noise, -98 dB in the whole band, moves a -60 dB line by hundredths of a dB.
    assertThat(value(cli, "harmonic 2", "dB")).isCloseTo(-40, within(0.01));
    assertThat(value(cli, "harmonic 3", "dB")).isCloseTo(-60, within(0.05));
    assertThat(value(cli, "thd", "%")).isCloseTo(100 * Math.hypot(0.01, 0.001), within(2e-4));
    assertThat(cli.json().get("results").get(0).fieldNames())
        .toIterable()
        .containsExactly("name", "value", "unit", "conditions");
  }

  @ParameterizedTest
  @ValueSource(strings = {"square", "triangle"})
  void theWaveformsOfThePublishedTableHaveTheirDistortion(String shape) throws IOException {
    // Fourier series up to the 19th: what a band-limited square or triangle wave is.
    DoubleUnaryOperator series =
        phase ->
            IntStream.rangeClosed(0, 9)
                .map(k -> 2 * k + 1)
                .mapToDouble(
                    n ->
                        shape.equals("square")
                            ? Math.sin(n * phase) / n
                            : Math.cos(n * phase) / (n * n))
                .sum();
    Path file =
        wav(WavEncoding.FLOAT_32, RATE, samples(RATE, p -> 0.1 + 0.5 * series.applyAsDouble(p)));
    Cli cli = Cli.run("analyze", file, "--json", "--harmonics", "9");
    double published = row("thd_exact_waveforms.csv", shape + " wave THD_F, harmonics up to 9");
    assertThat(value(cli, "thd", "%")).isCloseTo(100 * published, within(1e-3));
  }

  @ParameterizedTest
  @CsvSource({"0.9", "0.5"})
  void aClippedSineHasTheDistortionOfItsFourierSeries(String level) throws IOException {
    double clip = Double.parseDouble(level);
    int rate = 192_000;
    Path file =
        wav(
            WavEncoding.PCM_24,
            rate,
            samples(rate, p -> 0.7 * Math.max(-clip, Math.min(clip, Math.sin(p)))));
    Cli cli = Cli.run("analyze", file, "--json", "--harmonics", "9", "--tone", "1 kHz");
    // The orders above the 96 kHz of the file fold back beside the harmonics; they fall with the
    // square of the order, to some 1e-4 of the fundamental.
    assertThat(value(cli, "thd", "%"))
        .isCloseTo(100 * row("thd_clipped_sine.csv", level + ",THD_F_up_to_9"), within(0.01));
    assertThat(value(cli, "level", "dB"))
        .isCloseTo(
            20 * Math.log10(0.7 * row("thd_clipped_sine.csv", level + ",b1")), within(0.002));
  }

  /** The band is part of a thd+n: what a slow capture cannot hold is not left out in silence. */
  @Test
  void aBandThatTheCaptureCannotHoldIsRefused() throws IOException {
    Path file = wav(WavEncoding.PCM_24, 32_000, samples(32_000, p -> 0.5 * Math.sin(p)));
    Cli wide = Cli.run("analyze", file, "--json");
    assertThat(wide.code()).isEqualTo(2);
    assertThat(result(wide, "thd+n").get("invalid").asText())
        .isEqualTo("the band reaches beyond half of the capture's sample rate");
    assertThat(Cli.run("analyze", file, "--json", "--band", "20 Hz..16 kHz").code()).isZero();
  }

  /** The number after the text that a row starts with. */
  private static double row(String resource, String start) throws IOException {
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(
                Objects.requireNonNull(AnalyzeTest.class.getResourceAsStream(resource)),
                StandardCharsets.UTF_8))) {
      String line =
          reader
              .lines()
              .filter(l -> l.startsWith(start) || l.startsWith("\"" + start))
              .findFirst()
              .orElseThrow();
      return Double.parseDouble(
          line.replaceFirst("^\".*?\"", "").replaceFirst(start, "").split(",")[1]);
    }
  }

  @ParameterizedTest
  @CsvSource({"40 V", "56.5685424949 V peak"})
  void fullScaleIsTheRmsOfAFullScaleSineUnlessItSaysPeak(String fullScale) throws IOException {
    Path file = wav(WavEncoding.PCM_24, RATE, samples(RATE, p -> 0.2 + 0.5 * Math.sin(p)));
    Cli cli = Cli.run("analyze", file, "--json", "--full-scale", fullScale, "--load", "8 ohm");
    assertThat(value(cli, "level", "V")).isCloseTo(20, within(1e-3));
    assertThat(value(cli, "power", "W")).isCloseTo(50, within(0.01));
  }

  @Test
  void eachChannelOfEachFileHasItsConditions() throws IOException {
    Path stereo = wav(WavEncoding.PCM_16, RATE, sine(0.5), sine(0.25));
    Path mono = wav(WavEncoding.PCM_32, RATE, sine(0.125));
    Cli cli = Cli.run("analyze", stereo, mono, "--json");
    assertThat(cli.code()).isZero();
    assertThat(cli.json().get("results"))
        .filteredOn(r -> r.get("name").asText().equals("level"))
        .extracting(
            r -> r.get("conditions").path("file").asText(),
            r -> r.get("conditions").path("channel").asText(),
            r -> Math.round(100 * r.get("value").asDouble()))
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(stereo.toString(), "1", -602L),
            org.assertj.core.groups.Tuple.tuple(stereo.toString(), "2", -1204L),
            org.assertj.core.groups.Tuple.tuple(mono.toString(), "", -1806L));
  }

  @Test
  void theTableForPeopleHasTheSameFigures() throws IOException {
    Path file = wav(WavEncoding.PCM_24, RATE, sine(0.5));
    Cli cli = Cli.run("analyze", file, "--full-scale", "40 V", "--load", "8 ohm");
    assertThat(cli.code()).isZero();
    assertThat(cli.out().lines())
        .anyMatch(l -> l.matches("level +20 V *"))
        .anyMatch(l -> l.matches("power +50 W *"))
        .anyMatch(l -> l.matches("thd\\+n +0\\.0000\\d+ % +.*band 20 Hz\\.\\.20 kHz"));
  }

  @Test
  void aClippedCaptureIsInvalidWithTheReasonAndNeverANumber() throws IOException {
    Path file =
        wav(
            WavEncoding.PCM_16,
            RATE,
            samples(RATE, p -> Math.max(-1, Math.min(1, 1.2 * Math.sin(p)))));
    Cli cli = Cli.run("analyze", file, "--json");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.json().get("results"))
        .isNotEmpty()
        .allSatisfy(
            r -> {
              assertThat(r.get("value").isNull()).isTrue();
              assertThat(r.get("invalid").asText()).isEqualTo("the capture reaches full scale");
            });
    assertThat(Cli.run("analyze", file).out()).contains("invalid: the capture reaches full scale");
  }

  @Test
  void silenceIsNoTone() throws IOException {
    Cli cli = Cli.run("analyze", wav(WavEncoding.PCM_16, RATE, new double[RATE]));
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.out()).containsPattern("level +invalid: .*(no tone|nothing)");
  }

  @Test
  void filesThatCannotBeReadAreNamedAndTheOthersAreAnalysed() throws IOException {
    Path good = wav(WavEncoding.PCM_16, RATE, sine(0.5));
    Path empty = Files.createFile(folder.resolve("empty.wav"));
    Path text = Files.writeString(folder.resolve("text.wav"), "this is no WAV file at all, is it");
    Path missing = folder.resolve("missing.wav");
    Cli cli = Cli.run("analyze", missing, empty, good, text, folder);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err().lines())
        .hasSize(4)
        .anyMatch(l -> l.equals(missing + ": found no such file; expected a WAV file"))
        .anyMatch(l -> l.startsWith(empty + ": "))
        .anyMatch(l -> l.startsWith(text + ": "))
        .anyMatch(l -> l.startsWith(folder + ": "))
        .noneMatch(l -> l.contains("Exception"));
    assertThat(cli.out()).containsPattern("level +-6\\.02");
  }

  @Test
  void aCaptureThatDoesNotFitIntoTheMemoryIsNamedAndTheOthersAreAnalysed() throws IOException {
    Path huge = wav(WavEncoding.PCM_16, RATE, new double[8]);
    try (RandomAccessFile file = new RandomAccessFile(huge.toFile(), "rw")) {
      int dataSize = (int) file.length() - 16 - 4;
      int bytes = 0xffff_fffe - 36; // as much as a header can say: 16 GiB as numbers
      file.seek(dataSize);
      file.writeInt(Integer.reverseBytes(bytes));
      file.setLength(dataSize + 4 + Integer.toUnsignedLong(bytes)); // a hole, not written
    }
    Path good = wav(WavEncoding.PCM_16, RATE, sine(0.5));
    Cli cli = Cli.run("analyze", huge, good);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).startsWith(huge + ": too long for the ").contains("-Xmx");
    assertThat(cli.err().lines()).hasSize(1);
    assertThat(cli.out()).containsPattern("level +-6\\.02");
  }

  @Test
  void noSamplesAtAllAreInvalid() throws IOException {
    Cli cli = Cli.run("analyze", wav(WavEncoding.PCM_16, RATE, new double[0]));
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.out() + cli.err()).doesNotContain("Exception").isNotBlank();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "--load|8 ohm|--load gives a power only with --full-scale",
        "--full-scale|40|--full-scale: found \"40\"; expected ",
        "--full-scale|40 W|--full-scale: found \"40 W\"; expected ",
        "--full-scale|-4 V|--full-scale: found \"-4 V\"; expected ",
        "--tone|0 Hz|--tone: found \"0 Hz\"; expected ",
        "--tone|1 kV|--tone: found \"1 kV\"; expected ",
        "--band|-20 Hz..20 kHz|--band: found \"-20 Hz..20 kHz\"; expected ",
        "--band|1 kHz..1 kHz|--band: found \"1 kHz..1 kHz\"; expected ",
        "--band|20 kHz..20 Hz|--band: found \"20 kHz..20 Hz\"; expected ",
        "--harmonics|1|--harmonics: found 1; expected 2 to 50",
        "--harmonics|many|'--harmonics'",
      })
  void wrongSettingsAreNamedBeforeAnythingIsRead(String option, String value, String message) {
    Cli cli = Cli.run("analyze", folder.resolve("missing.wav"), option, value);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains(message).doesNotContain("no such file");
  }
}
