package kitproof.value;

import java.util.Arrays;

/**
 * Samples in volts, one row per channel, at one sample rate.
 *
 * <p>A value: arrays are copied in and out, two signals with the same content are equal. What the
 * channels are connected to is not known here; see {@link kitproof.driver.AudioPorts}.
 */
public final class Signal {
  private final double sampleRateHz;
  private final double[][] samples;

  private Signal(double sampleRateHz, double[][] samples) {
    this.sampleRateHz = sampleRateHz;
    this.samples = samples;
  }

  /**
   * Copies the given samples.
   *
   * @param sampleRateHz samples per second, above zero
   * @param channels volts; at least one channel, all of one length
   */
  public static Signal of(double sampleRateHz, double[]... channels) {
    if (!(sampleRateHz > 0) || Double.isInfinite(sampleRateHz)) {
      throw new IllegalArgumentException("sample rate " + sampleRateHz);
    }
    if (channels.length == 0) {
      throw new IllegalArgumentException("a signal has at least one channel");
    }
    double[][] copy = new double[channels.length][];
    for (int i = 0; i < channels.length; i++) {
      if (channels[i].length != channels[0].length) {
        throw new IllegalArgumentException("channels of unequal length");
      }
      copy[i] = channels[i].clone();
    }
    return new Signal(sampleRateHz, copy);
  }

  public double sampleRateHz() {
    return sampleRateHz;
  }

  /** Number of channels, at least 1. */
  public int channels() {
    return samples.length;
  }

  /** Samples per channel. */
  public int length() {
    return samples[0].length;
  }

  public double durationSeconds() {
    return length() / sampleRateHz;
  }

  /** A copy of one channel's samples in volts. */
  public double[] channel(int index) {
    return samples[index].clone();
  }

  /** One sample in volts. */
  public double at(int channel, int index) {
    return samples[channel][index];
  }

  /** The samples from {@code from} up to, not including, {@code to}, of every channel. */
  public Signal slice(int from, int to) {
    double[][] part = new double[samples.length][];
    for (int i = 0; i < samples.length; i++) {
      if (from < 0 || to < from || to > length()) {
        throw new IndexOutOfBoundsException(from + ".." + to + " of " + length());
      }
      part[i] = Arrays.copyOfRange(samples[i], from, to);
    }
    return new Signal(sampleRateHz, part);
  }

  /** One channel as a signal of its own. */
  public Signal only(int channel) {
    return new Signal(sampleRateHz, new double[][] {samples[channel]});
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Signal that
        && sampleRateHz == that.sampleRateHz
        && Arrays.deepEquals(samples, that.samples);
  }

  @Override
  public int hashCode() {
    return 31 * Double.hashCode(sampleRateHz) + Arrays.deepHashCode(samples);
  }

  @Override
  public String toString() {
    return "Signal[" + channels() + " channels, " + length() + " samples, " + sampleRateHz + " Hz]";
  }
}
