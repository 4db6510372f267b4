package kitproof.wav;

import java.nio.ByteBuffer;
import javax.sound.sampled.AudioFormat;

/** How one sample is stored, least significant byte first. */
public enum WavEncoding {
  PCM_16(16, false),
  PCM_24(24, false),
  PCM_32(32, false),
  FLOAT_32(32, true);

  private final int bits;
  private final boolean floating;

  WavEncoding(int bits, boolean floating) {
    this.bits = bits;
    this.floating = floating;
  }

  /** Bits per sample as they lie in the file. */
  public int bits() {
    return bits;
  }

  /** Whether samples are IEEE 754 numbers rather than integers. */
  public boolean floating() {
    return floating;
  }

  /** The JDK's name for it. */
  AudioFormat.Encoding format() {
    return floating ? AudioFormat.Encoding.PCM_FLOAT : AudioFormat.Encoding.PCM_SIGNED;
  }

  int bytes() {
    return bits / 8;
  }

  /** The next sample, ±1.0 at full scale. */
  double get(ByteBuffer bytes) {
    return switch (this) {
      case PCM_16 -> bytes.getShort() / 0x1p15;
      case PCM_24 -> ((bytes.getShort() & 0xffff) | (bytes.get() << 16)) / 0x1p23;
      case PCM_32 -> bytes.getInt() / 0x1p31;
      case FLOAT_32 -> bytes.getFloat();
    };
  }

  /** Appends a sample, rounded to the nearest code; integers stop at full scale. */
  void put(ByteBuffer bytes, double sample) {
    switch (this) {
      case PCM_16 -> bytes.putShort((short) code(sample));
      case PCM_24 -> {
        int code = code(sample);
        bytes.putShort((short) code).put((byte) (code >> 16));
      }
      case PCM_32 -> bytes.putInt(code(sample));
      case FLOAT_32 -> bytes.putFloat((float) sample);
    }
  }

  private int code(double sample) {
    return code(sample, bits);
  }

  /** The nearest code of so many bits; full scale and beyond is the last one. */
  static int code(double sample, int bits) {
    double scale = Math.scalb(1.0, bits - 1);
    return (int) Math.max(-scale, Math.min(scale - 1, Math.rint(sample * scale)));
  }

  @Override
  public String toString() {
    return bits + "-bit " + (floating ? "float" : "integer");
  }
}
