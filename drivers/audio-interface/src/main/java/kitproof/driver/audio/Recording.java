package kitproof.driver.audio;

import java.util.Arrays;
import java.util.List;

/** The codes that came in on some channels of a device, from the moment the capture started. */
final class Recording {
  private final SampleCodec codec;
  private final List<Integer> channels;
  private final int[][] codes;
  private int length;

  /**
   * @param channels the device's channels to keep, from 0
   * @param frames how many to make room for; it grows
   */
  Recording(SampleCodec codec, List<Integer> channels, int frames) {
    this.codec = codec;
    this.channels = channels;
    this.codes = new int[channels.size()][frames];
  }

  private Recording(Recording other) {
    this.codec = other.codec;
    this.channels = other.channels;
    this.codes = new int[other.codes.length][];
    for (int c = 0; c < codes.length; c++) {
      codes[c] = Arrays.copyOf(other.codes[c], other.length);
    }
    this.length = other.length;
  }

  /** What is in it now, for another thread. */
  Recording copy() {
    return new Recording(this);
  }

  int length() {
    return length;
  }

  /** Appends the first frames of a buffer. */
  void append(byte[] buffer, int frames) {
    for (int c = 0; c < codes.length; c++) {
      if (length + frames > codes[c].length) {
        codes[c] = Arrays.copyOf(codes[c], length + frames + codes[c].length / 4);
      }
      for (int i = 0; i < frames; i++) {
        codes[c][length + i] = codec.get(buffer, i, channels.get(c));
      }
    }
    length += frames;
  }

  /**
   * One kept channel, ±1.0 at full scale; silent where nothing was recorded.
   *
   * @param index into the channels that are kept
   */
  double[] samples(int index, int from, int to) {
    double[] samples = new double[to - from];
    for (int i = Math.max(from, 0); i < Math.min(to, length); i++) {
      samples[i - from] = codec.ofFullScale(codes[index][i]);
    }
    return samples;
  }

  boolean clipped(int index, int from, int to) {
    for (int i = Math.max(from, 0); i < Math.min(to, length); i++) {
      if (codec.clipped(codes[index][i])) {
        return true;
      }
    }
    return false;
  }
}
