package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import javax.sound.sampled.AudioFormat;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SampleCodecTest {
  private static SampleCodec codec(int bits, int bytes, int channels, boolean bigEndian) {
    return new SampleCodec(
        new AudioFormat(
            AudioFormat.Encoding.PCM_SIGNED,
            48_000,
            bits,
            channels,
            bytes * channels,
            48_000,
            bigEndian));
  }

  @ParameterizedTest
  @DisplayName("Every code comes back from its bytes, whatever the form")
  @CsvSource({
    "16, 2, false", "16, 2, true", "24, 3, false", "24, 3, true",
    "24, 4, false", "24, 4, true", "32, 4, false", "32, 4, true"
  })
  void codesRoundTrip(int bits, int bytes, boolean bigEndian) {
    SampleCodec codec = codec(bits, bytes, 3, bigEndian);
    int last = (int) ((1L << (bits - 1)) - 1);
    int[] codes = {0, 1, -1, last, -last - 1, 0x1234, -0x1234};
    byte[] buffer = new byte[codec.frameBytes() * codes.length];
    for (int i = 0; i < codes.length; i++) {
      codec.put(buffer, i, 1, codes[i]);
      codec.put(buffer, i, 2, ~codes[i]);
    }

    for (int i = 0; i < codes.length; i++) {
      assertThat(codec.get(buffer, i, 0)).isZero();
      assertThat(codec.get(buffer, i, 1)).isEqualTo(codes[i]);
      assertThat(codec.get(buffer, i, 2)).isEqualTo(~codes[i]);
      assertThat(codec.code(codec.ofFullScale(codes[i]))).isEqualTo(codes[i]);
    }
  }

  @Test
  @DisplayName("Bytes stand in the order of the form")
  void byteOrder() {
    byte[] little = new byte[3];
    codec(24, 3, 1, false).put(little, 0, 0, 0x123456);
    byte[] big = new byte[3];
    codec(24, 3, 1, true).put(big, 0, 0, 0x123456);
    byte[] padded = new byte[4];
    codec(24, 4, 1, false).put(padded, 0, 0, 0x123456);

    assertThat(little).containsExactly(0x56, 0x34, 0x12);
    assertThat(big).containsExactly(0x12, 0x34, 0x56);
    assertThat(padded).containsExactly(0x56, 0x34, 0x12, 0);
  }

  @Test
  @DisplayName("What fills the unused byte of a 24-bit sample does not matter")
  void unusedByte() {
    byte[] padded = {0x56, 0x34, 0x12, 0x7f};

    assertThat(codec(24, 4, 1, false).get(padded, 0, 0)).isEqualTo(0x123456);
  }

  @Test
  @DisplayName("Volts become the nearest code, full scale the last one")
  void quantising() {
    SampleCodec codec = codec(16, 2, 1, false);

    assertThat(codec.code(0.5)).isEqualTo(16_384);
    assertThat(codec.code(1.4 / 32768)).isEqualTo(1);
    assertThat(codec.code(-1.6 / 32768)).isEqualTo(-2);
    assertThat(codec.code(1)).isEqualTo(32_767);
    assertThat(codec.code(-1)).isEqualTo(-32_768);
    assertThat(codec(32, 4, 1, false).code(1)).isEqualTo(Integer.MAX_VALUE);
  }

  @Test
  @DisplayName("The last code of a converter counts as clipped, also where more bits carry it")
  void clipping() {
    assertThat(codec(16, 2, 1, false).clipped(32_767)).isTrue();
    assertThat(codec(16, 2, 1, false).clipped(-32_768)).isTrue();
    assertThat(codec(16, 2, 1, false).clipped(32_766)).isFalse();
    assertThat(codec(32, 4, 1, false).clipped(0x7fff_ff00)).isTrue();
    assertThat(codec(32, 4, 1, false).clipped(Integer.MIN_VALUE)).isTrue();
    assertThat(codec(24, 3, 1, false).clipped(0x7ffd00)).isFalse();
  }

  @Test
  @DisplayName("A format that no sample fits into is refused")
  void impossible() {
    assertThatThrownBy(() -> codec(24, 2, 2, false)).isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> codec(32, 8, 2, false)).isInstanceOf(IllegalArgumentException.class);
  }
}
