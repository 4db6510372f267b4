package kitproof.wav;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Objects;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.UnsupportedAudioFileException;
import kitproof.value.Signal;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class WavFileTest {
  private static final double[] LEFT = {0, 0.5, -1, 0.25, -0.125};
  private static final double[] RIGHT = {1, -0.75, 0.1, -0.1, 0x1p-15};

  @TempDir Path folder;

  @ParameterizedTest
  @DisplayName("What is written is read again to within half a code")
  @EnumSource(WavEncoding.class)
  void roundTrip(WavEncoding encoding) throws IOException {
    Path file = folder.resolve("round.wav");
    WavFile.of(encoding, 96000, LEFT, RIGHT, LEFT).write(file);
    WavFile wav = WavFile.read(file);

    assertThat(wav.encoding()).isEqualTo(encoding);
    assertThat(wav.sampleRateHz()).isEqualTo(96000);
    assertThat(wav.channels()).isEqualTo(3);
    assertThat(wav.channel(0)).containsExactly(LEFT);
    assertThat(wav.channel(2)).containsExactly(LEFT);
    double lastCode = encoding.floating() ? 1 : 1 - Math.scalb(1.0, 1 - encoding.bits());
    assertThat(wav.channel(1)[0]).isEqualTo(lastCode);
    double halfCode = encoding.floating() ? 0x1p-28 : Math.scalb(1.0, -encoding.bits());
    for (int i = 1; i < RIGHT.length; i++) {
      assertThat(Math.abs(wav.channel(1)[i] - RIGHT[i])).isLessThanOrEqualTo(halfCode);
    }
  }

  @ParameterizedTest
  @DisplayName("The JDK's reader finds the same bits in what is written")
  @EnumSource(WavEncoding.class)
  void jdkReadsIt(WavEncoding encoding) throws IOException, UnsupportedAudioFileException {
    Path file = folder.resolve("jdk.wav");
    WavFile.of(encoding, 44100, RIGHT)
        .write(file); // five frames: an odd number of bytes at 24 bits
    assertThat(Files.size(file) % 2).isZero();
    try (AudioInputStream in = AudioSystem.getAudioInputStream(file.toFile())) {
      AudioFormat format = in.getFormat();
      assertThat(format.getSampleRate()).isEqualTo(44100);
      assertThat(format.getChannels()).isEqualTo(1);
      assertThat(format.getSampleSizeInBits()).isEqualTo(encoding.bits());
      assertThat(format.isBigEndian()).isFalse();
      assertThat(format.getEncoding())
          .isEqualTo(
              encoding.floating()
                  ? AudioFormat.Encoding.PCM_FLOAT
                  : AudioFormat.Encoding.PCM_SIGNED);
      byte[] bytes = in.readAllBytes();
      assertThat(bytes).hasSize(RIGHT.length * encoding.bits() / 8);
      int top = bytes[2 * encoding.bits() / 8 - 1];
      int expected = encoding.floating() ? Float.floatToIntBits(-0.75f) >> 24 : -96;
      assertThat(top).isEqualTo(expected);
    }
  }

  @ParameterizedTest
  @DisplayName(
      "What is written is to the last byte what libsndfile 1.2.0 writes of the same samples")
  @ValueSource(strings = {"plain-16", "plain-24", "plain-32"})
  void anotherWriter(String name) throws IOException {
    byte[] theirs;
    try (InputStream in =
        Objects.requireNonNull(WavFileTest.class.getResourceAsStream(name + ".wav"))) {
      theirs = in.readAllBytes();
    }
    Path file = Files.write(folder.resolve("theirs.wav"), theirs);
    Path ours = folder.resolve("ours.wav");
    WavFile.read(file).write(ours);
    assertThat(Files.readAllBytes(ours)).isEqualTo(theirs);
  }

  @Test
  @DisplayName("Many pieces are written and read without a seam, an odd number of bytes padded")
  void longerThanOnePiece() throws IOException {
    double[] ramp = new double[3 * 4096 + 1];
    for (int i = 0; i < ramp.length; i++) {
      ramp[i] = (i - 6000) * 0x1p-23;
    }
    Path file = folder.resolve("long.wav");
    WavFile.of(WavEncoding.PCM_24, 192_000, ramp).write(file);
    assertThat(WavFile.read(file).channel(0)).containsExactly(ramp);
    ByteBuffer bytes = ByteBuffer.wrap(Files.readAllBytes(file)).order(ByteOrder.LITTLE_ENDIAN);
    assertThat(bytes.capacity()).isEqualTo(44 + 3 * ramp.length + 1);
    assertThat(bytes.getInt(4)).as("size of the RIFF chunk").isEqualTo(bytes.capacity() - 8);
    assertThat(bytes.getInt(40)).as("size of the samples").isEqualTo(3 * ramp.length);
  }

  @Test
  @DisplayName("A channel that reaches full scale counts as clipped, one just below does not")
  void clipping() {
    WavFile wav =
        WavFile.of(
            WavEncoding.FLOAT_32,
            48000,
            new double[] {0, 32767 / 32768.0},
            new double[] {-1.5, 0},
            new double[] {32766 / 32768.0, -32766 / 32768.0});

    assertThat(wav.clipped(0)).isTrue();
    assertThat(wav.clipped(1)).isTrue();
    assertThat(wav.clipped(2)).isFalse();
  }

  @Test
  @DisplayName("Samples become volts by the peak voltage of full scale")
  void volts() {
    Signal signal = WavFile.of(WavEncoding.PCM_16, 48000, LEFT, RIGHT).signal(40);

    assertThat(signal.sampleRateHz()).isEqualTo(48000);
    assertThat(signal.channel(0)).containsExactly(0, 20, -40, 10, -5);
    assertThat(signal.channels()).isEqualTo(2);
  }

  @Test
  @DisplayName("Arrays are copied in and out")
  void copies() {
    double[] own = LEFT.clone();
    WavFile wav = WavFile.of(WavEncoding.PCM_24, 48000, own);
    own[0] = 9;
    wav.channel(0)[1] = 9;

    assertThat(wav.channel(0)).containsExactly(LEFT);
  }

  @Test
  @DisplayName("Nothing and unequal channels are refused")
  void refusals() {
    assertThatThrownBy(() -> WavFile.of(WavEncoding.PCM_16, 48000))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> WavFile.of(WavEncoding.PCM_16, 0, LEFT))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> WavFile.of(WavEncoding.PCM_16, 48000, LEFT, new double[1]))
        .isInstanceOf(IllegalArgumentException.class);
  }
}
