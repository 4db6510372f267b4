package kitproof.wav;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
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
