package kitproof.driver.audio;

import javax.sound.sampled.AudioFormat;
import kitproof.wav.WavFile;

/**
 * Samples of one device format: integers of 16, 24 or 32 bits in 2, 3 or 4 bytes.
 *
 * <p>A code of n bits stands for code / 2ⁿ⁻¹ of full scale. 24 bits in 4 bytes lie in the lower
 * three, as in ALSA's S24_LE. Nothing is dithered: a coherent stimulus comes out bit for bit, and
 * who measures below 16 bits' floor uses more bits.
 */
final class SampleCodec {
  private final int bits;
  private final int bytes;
  private final int channels;
  private final boolean bigEndian;
  private final double scale;

  SampleCodec(AudioFormat format) {
    bits = format.getSampleSizeInBits();
    channels = format.getChannels();
    bytes = format.getFrameSize() / channels;
    bigEndian = format.isBigEndian();
    scale = Math.scalb(1.0, bits - 1);
    if (bits > 8 * bytes || bytes > 4 || format.getFrameSize() % channels != 0) {
      throw new IllegalArgumentException("not a format this driver knows: " + format);
    }
  }

  int frameBytes() {
    return bytes * channels;
  }

  /** The nearest code; +1.0 and beyond is the last one. */
  int code(double ofFullScale) {
    return (int) Math.max(-scale, Math.min(scale - 1, Math.rint(ofFullScale * scale)));
  }

  double ofFullScale(int code) {
    return code / scale;
  }

  /** Whether a converter of 16 bits or more is at its last code, however many bits carry it. */
  boolean clipped(int code) {
    return Math.abs(code / scale) >= WavFile.CLIPPED;
  }

  /** Writes one sample of the frame at this index of the buffer. */
  void put(byte[] buffer, int frame, int channel, int code) {
    int at = (frame * channels + channel) * bytes;
    for (int i = 0; i < bytes; i++) {
      buffer[at + (bigEndian ? bytes - 1 - i : i)] = (byte) (code >> (8 * i));
    }
  }

  /** Reads one sample of the frame at this index of the buffer. */
  int get(byte[] buffer, int frame, int channel) {
    int at = (frame * channels + channel) * bytes;
    int code = 0;
    for (int i = 0; i < bytes; i++) {
      code |= (buffer[at + (bigEndian ? bytes - 1 - i : i)] & 0xff) << (8 * i);
    }
    return code << (32 - bits) >> (32 - bits);
  }
}
