package kitproof.wav;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.Arrays;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The fixtures were written by libsndfile 1.2.0; make_fixtures.py beside them says how. */
class WavReaderTest {
  @TempDir Path folder;

  @ParameterizedTest(name = "{0}")
  @DisplayName("Files of another writer are read to the last bit")
  @CsvSource({
    "plain-16, PCM_16, 1, 44100",
    "plain-24, PCM_24, 2, 48000",
    "plain-32, PCM_32, 2, 96000",
    "plain-float, FLOAT_32, 2, 192000",
    "extensible-16, PCM_16, 2, 48000",
    "extensible-24, PCM_24, 3, 192000",
    "extensible-float, FLOAT_32, 1, 48000"
  })
  void foreignFiles(String name, WavEncoding encoding, int channels, int rate) throws IOException {
    WavFile wav = WavFile.read(write(fixture(name)));

    assertThat(wav.encoding()).isEqualTo(encoding);
    assertThat(wav.sampleRateHz()).isEqualTo(rate);
    assertThat(wav.channels()).isEqualTo(channels);
    assertThat(wav.length()).isEqualTo(33);
    for (int c = 0; c < channels; c++) {
      double[] expected = new double[33];
      for (int i = 0; i < 33; i++) {
        expected[i] = ((7919 * i + 104729 * c) % 65536 - 32768) / 32768.0;
      }
      assertThat(wav.channel(c)).containsExactly(expected);
    }
  }

  @Test
  @DisplayName("A chunk that is not known is passed over, also one of odd length")
  void otherChunks() throws IOException {
    byte[] plain = fixture("plain-24");
    byte[] odd = {'n', 'o', 't', 'e', 3, 0, 0, 0, 'a', 'b', 'c', 0};
    ByteBuffer with = ByteBuffer.allocate(plain.length + odd.length);
    with.put(plain, 0, 12).put(odd).put(plain, 12, plain.length - 12);

    assertThat(WavFile.read(write(with.array())).channel(1))
        .containsExactly(WavFile.read(write(plain)).channel(1));
  }

  @Test
  @DisplayName("A file cut short names how much there is and how much there should be")
  void cutShort() throws IOException {
    byte[] plain = fixture("plain-16");
    int samplesAt = plain.length - 66;
    refused(Arrays.copyOf(plain, plain.length - 10), "ends after 56 bytes of the samples", "66");
    refused(Arrays.copyOf(plain, samplesAt - 8), "no samples", "\"data\"");
    refused(Arrays.copyOf(plain, 30), "ends after 10 bytes of chunk \"fmt \"", "16 bytes");
    refused(Arrays.copyOf(plain, 7), "ends after 7 bytes of the RIFF header", "12 bytes");
    refused(new byte[0], "ends after 0 bytes", "12 bytes");
  }

  @Test
  @DisplayName("Another kind of file is told apart")
  void anotherKind() throws IOException {
    refused("OggS and so on and so on".getBytes(), "\"OggS", "\"RIFF…WAVE\"");
  }

  @Test
  @DisplayName("Encodings that are not read are named")
  void otherEncodings() throws IOException {
    refused(patched(34, (short) 8), "8-bit integer", "16, 24 or 32-bit integer or 32-bit float");
    refused(patched(20, (short) 85), "16-bit samples of format 85", "32-bit float");
    refused(patched(22, (short) 0), "0 channels", "at least one");
    refused(patched(32, (short) 4), "frames of 4 bytes", "2 bytes for 1 channels");
  }

  @Test
  @DisplayName("An extensible file whose sub-format is another's is refused")
  void foreignSubFormat() throws IOException {
    byte[] bytes = fixture("extensible-16");
    bytes[50] ^= 1;
    refused(bytes, "16-bit samples of format 65534", "16, 24 or 32-bit");
  }

  @Test
  @DisplayName("Half a frame and not-a-number are refused")
  void badSamples() throws IOException {
    byte[] stereo = fixture("extensible-16");
    ByteBuffer.wrap(stereo)
        .order(ByteOrder.LITTLE_ENDIAN)
        .putInt(stereo.length - 33 * 4 - 4, 33 * 4 - 2);
    refused(stereo, "130 bytes of samples", "whole frames of 4 bytes");
    byte[] floats = fixture("plain-float");
    ByteBuffer.wrap(floats).order(ByteOrder.LITTLE_ENDIAN).putFloat(floats.length - 8, Float.NaN);
    refused(floats, "NaN in frame 32", "finite");
  }

  @Test
  @DisplayName("A file that is not there is told by the system's own exception")
  void missing() {
    assertThatThrownBy(() -> WavFile.read(folder.resolve("none.wav")))
        .isInstanceOf(NoSuchFileException.class);
  }

  private byte[] patched(int offset, short value) throws IOException {
    byte[] bytes = fixture("plain-16");
    ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN).putShort(offset, value);
    return bytes;
  }

  private void refused(byte[] content, String found, String expected) throws IOException {
    Path file = write(content);
    assertThatThrownBy(() -> WavFile.read(file))
        .isInstanceOf(WavException.class)
        .hasMessageStartingWith(file + ": found ")
        .hasMessageContaining(found)
        .hasMessageContaining(expected);
  }

  private Path write(byte[] content) throws IOException {
    return Files.write(folder.resolve("test.wav"), content);
  }

  private static byte[] fixture(String name) throws IOException {
    try (InputStream in = WavReaderTest.class.getResourceAsStream(name + ".wav")) {
      return in.readAllBytes();
    }
  }
}
