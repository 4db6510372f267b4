package kitproof.wav;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Locale;
import java.util.Objects;
import java.util.Random;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The fixtures were written by libsndfile 1.2.0; make_fixtures.py beside them says how. What is
 * written here is decoded by the reference program in FlacIT.
 */
class FlacTest {
  private static final long SEED = 20261126;

  @TempDir Path folder;

  /** What is hard for predictors, or the edge of what 24 bits hold. */
  enum Shape {
    NOISE,
    SILENCE,
    HIGHEST,
    LOWEST,
    ALTERNATING,
    OPPOSED,
    SINE,
    LAST_BIT,
    IMPULSE;

    double[] of(int channel, int length, int rate) {
      Random random = new Random(SEED + channel);
      double last = 0x1p-23;
      double[] samples = new double[length];
      for (int i = 0; i < length; i++) {
        samples[i] =
            switch (this) {
              case NOISE -> (random.nextInt(1 << 24) - (1 << 23)) * last;
              case SILENCE -> 0;
              case HIGHEST -> 1 - last;
              case LOWEST -> -1;
              case ALTERNATING -> (i + channel) % 2 == 0 ? 1 - last : -1;
              case OPPOSED -> (channel % 2 == 0 ? 1 : -1) * (i / 37 % 2 == 0 ? 1 - last : last - 1);
              case SINE ->
                  Math.rint(0x1p23 * 0.9 * Math.sin(2 * Math.PI * 997 * i / rate + channel)) * last;
              case LAST_BIT -> (random.nextInt(3) - 1) * last;
              case IMPULSE -> i == length / 2 ? -1 : 0;
            };
      }
      return samples;
    }

    static WavFile file(Shape shape, int channels, int length, int rate) {
      double[][] samples = new double[channels][];
      for (int c = 0; c < channels; c++) {
        samples[c] = shape.of(c, length, rate);
      }
      return WavFile.of(WavEncoding.PCM_24, rate, samples);
    }
  }

  @ParameterizedTest(name = "{0} Hz, {1} channels")
  @DisplayName("24 bits come back bit by bit, whatever the shape and however long")
  @CsvSource({"44100, 1", "48000, 2", "96000, 2", "192000, 2", "192000, 3", "192000, 8"})
  void bitByBit(int rate, int channels) throws IOException {
    Path file = folder.resolve("there and back.flac");
    for (Shape shape : Shape.values()) {
      for (int length : new int[] {1, 2, 17, 63, 64, 4095, 4096, 4097, 8192, 20_000}) {
        WavFile written = Shape.file(shape, channels, length, rate);
        String what = shape + " of " + length + " at " + rate + " Hz, seed " + SEED;
        assertThat(written.fitsFlac()).as(what).isTrue();
        written.writeFlac(file);
        WavFile read = WavFile.read(file);
        assertThat(read.encoding()).as(what).isEqualTo(WavEncoding.PCM_24);
        assertThat(read.sampleRateHz()).as(what).isEqualTo(rate);
        assertThat(read.channels()).as(what).isEqualTo(channels);
        for (int c = 0; c < channels; c++) {
          assertThat(Arrays.equals(read.channel(c), written.channel(c)))
              .as(what + ", channel " + c)
              .isTrue();
        }
      }
    }
  }

  @ParameterizedTest(name = "{0}")
  @DisplayName("Files of another writer are read to the last bit")
  @CsvSource({"flac-16, PCM_16, 2, 44100", "flac-24, PCM_24, 3, 192000"})
  void foreignFiles(String name, WavEncoding encoding, int channels, int rate) throws IOException {
    WavFile read = WavFile.read(fixture(name));
    assertThat(read.encoding()).isEqualTo(encoding);
    assertThat(read.sampleRateHz()).isEqualTo(rate);
    assertThat(read.channels()).isEqualTo(channels);
    assertThat(read.length()).isEqualTo(33);
    for (int c = 0; c < channels; c++) {
      for (int i = 0; i < 33; i++) {
        assertThat(read.channel(c)[i])
            .isEqualTo(((7919 * i + 104729 * c) % 65536 - 32768) / 32768.0);
      }
    }
  }

  @Test
  @DisplayName("16 bits stay 16; finer samples are rounded to 24 bits, and are known not to fit")
  void otherBits() throws IOException {
    Path file = folder.resolve("other.flac");
    double[] coarse = {0.5, -1, 0x1p-15, 1 - 0x1p-15};
    WavFile.of(WavEncoding.PCM_16, 48_000, coarse).writeFlac(file);
    assertThat(WavFile.read(file).encoding()).isEqualTo(WavEncoding.PCM_16);
    assertThat(WavFile.read(file).channel(0)).containsExactly(coarse);

    WavFile fine = WavFile.of(WavEncoding.PCM_32, 48_000, new double[] {0.25, 0x1p-31, 0.3, 2});
    assertThat(fine.fitsFlac()).isFalse();
    fine.writeFlac(file);
    assertThat(WavFile.read(file).channel(0))
        .containsExactly(0.25, 0, Math.rint(0.3 * 0x1p23) * 0x1p-23, 1 - 0x1p-23);
    double peak = 20 * Math.sqrt(2); // a code made volts and a share of them again
    double share = 1_234_567 * 0x1p-23 * peak / peak;
    assertThat(WavFile.of(WavEncoding.PCM_32, 48_000, new double[] {share}).fitsFlac()).isTrue();
  }

  @Test
  @DisplayName("Nothing is printed while noise is written")
  void silentLibrary() throws IOException {
    ByteArrayOutputStream said = new ByteArrayOutputStream();
    PrintStream out = System.out;
    PrintStream err = System.err;
    try (PrintStream heard = new PrintStream(said, true, StandardCharsets.UTF_8)) {
      System.setOut(heard);
      System.setErr(heard);
      for (int length : new int[] {1, 40, 5000}) {
        Shape.file(Shape.NOISE, 2, length, 48_000).writeFlac(folder.resolve("noise.flac"));
        WavFile.read(folder.resolve("noise.flac"));
      }
    } finally {
      System.setOut(out);
      System.setErr(err);
    }
    assertThat(said.toString(StandardCharsets.UTF_8)).isEmpty();
  }

  @Test
  @DisplayName("A file cut short anywhere, or altered anywhere in its samples, is refused")
  void brokenFiles() throws IOException {
    Path file = folder.resolve("whole.flac");
    Shape.file(Shape.SINE, 2, 9000, 48_000).writeFlac(file);
    byte[] whole = Files.readAllBytes(file);
    Random random = new Random(SEED);
    for (int i = 0; i < 40; i++) {
      refused(Arrays.copyOf(whole, 4 + random.nextInt(whole.length - 4)), "cut, case " + i);
      byte[] altered = whole.clone();
      altered[60 + random.nextInt(whole.length - 60)] ^= (byte) (1 << random.nextInt(8));
      refused(altered, "altered, case " + i);
    }
  }

  private void refused(byte[] content, String what) throws IOException {
    Path file = Files.write(folder.resolve("broken.flac"), content);
    assertThatThrownBy(() -> WavFile.read(file))
        .as(what + ", seed " + SEED)
        .isInstanceOf(WavException.class)
        .hasMessageStartingWith(file + ": found ")
        .hasMessageContaining("; expected ");
  }

  @ParameterizedTest
  @DisplayName("What FLAC has no place for is told")
  @ValueSource(ints = {9, 0})
  void noPlace(int channels) {
    WavFile file =
        channels == 0
            ? WavFile.of(WavEncoding.PCM_24, 48_000, new double[0])
            : Shape.file(Shape.SILENCE, channels, 100, 48_000);
    assertThatThrownBy(() -> file.writeFlac(folder.resolve("none.flac")))
        .isInstanceOf(IOException.class)
        .hasMessageContaining(
            channels == 0 ? "no samples" : String.format(Locale.ROOT, "%d channels", channels));
  }

  private Path fixture(String name) throws IOException {
    try (InputStream in =
        Objects.requireNonNull(FlacTest.class.getResourceAsStream(name + ".flac"))) {
      return Files.write(folder.resolve(name + ".flac"), in.readAllBytes());
    }
  }
}
