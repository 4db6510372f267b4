package kitproof.signal;

import java.util.Arrays;
import java.util.OptionalDouble;

/**
 * How a tone's level, or the mean of what is no tone, moves through a capture: whether and when it
 * has come to rest.
 */
public final class Envelope {
  /** Cycles are taken together until they last this long, so that one level is not all noise. */
  private static final double SHORTEST_SECONDS = 0.004;

  /** Noise of the levels at rest widens the tolerance by so many standard deviations. */
  private static final double NOISE_WIDTH = 4;

  private final double[] seconds;
  private final double[] volts;

  private Envelope(double[] seconds, double[] volts) {
    this.seconds = seconds;
    this.volts = volts;
  }

  /**
   * Follows a tone of known frequency.
   *
   * @param samples at least four levels long: four cycles, and 16 ms
   * @param rate samples per second
   * @param hz the tone
   */
  public static Envelope of(double[] samples, double rate, double hz) {
    Require.samples(samples, 4);
    Require.positive("sample rate", rate);
    Require.positive("frequency", hz);
    double cycles = Math.max(1, Math.ceil(SHORTEST_SECONDS * hz));
    double window = cycles / hz * rate;
    int count = (int) Math.floor((samples.length - 1) / window);
    if (count < 4) {
      throw new IllegalArgumentException(count + " levels of the tone, at least 4 are needed");
    }
    double[] seconds = new double[count];
    double[] volts = new double[count];
    double omega = 2 * Math.PI * hz / rate;
    for (int k = 0; k < count; k++) {
      int from = (int) Math.round(k * window);
      int to = (int) Math.round((k + 1) * window);
      seconds[k] = k * window / rate;
      // Fitted, as the window misses its cycles by up to half a sample: sums would show that.
      double[] part = Arrays.copyOfRange(samples, from, to);
      volts[k] = HarmonicFit.at(part, omega, 1, Weighting.EVEN).rms(1);
    }
    return new Envelope(seconds, volts);
  }

  /**
   * Follows what direct voltage and slow movement there is, by means over windows of this length.
   *
   * @param samples at least four windows
   * @param rate samples per second
   * @param windowSeconds a period of the mains, so that hum does not show
   */
  public static Envelope ofMeans(double[] samples, double rate, double windowSeconds) {
    Require.samples(samples, 4);
    Require.positive("sample rate", rate);
    Require.positive("window", windowSeconds);
    int window = (int) Math.max(1, Math.round(windowSeconds * rate));
    int count = samples.length / window;
    if (count < 4) {
      throw new IllegalArgumentException(count + " means, at least 4 are needed");
    }
    double[] seconds = new double[count];
    double[] volts = new double[count];
    for (int k = 0; k < count; k++) {
      seconds[k] = k * window / rate;
      double sum = 0;
      for (int i = 0; i < window; i++) {
        sum += samples[k * window + i];
      }
      volts[k] = sum / window;
    }
    return new Envelope(seconds, volts);
  }

  /** Number of levels. */
  public int size() {
    return volts.length;
  }

  /** When one level's time begins, from the first sample. */
  public double seconds(int index) {
    return seconds[index];
  }

  /** Rms of the tone, or the mean, over one level's time. */
  public double volts(int index) {
    return volts[index];
  }

  /**
   * When the level came to rest, in seconds from the first sample; empty if it has not.
   *
   * @param tolerance how far from its final level it may still be, as a part of it
   */
  public OptionalDouble settledSeconds(double tolerance) {
    Require.positive("tolerance", tolerance);
    Spread end = Settling.of(seconds, volts, Double.MAX_VALUE).finalSpread();
    return settledWithin(tolerance * Math.abs(end.mean()));
  }

  /**
   * The same for a level that may come to rest at nothing.
   *
   * @param tolerance how far from its final level it may still be, volts
   */
  public OptionalDouble settledWithin(double tolerance) {
    double width = Math.max(tolerance, NOISE_WIDTH * noise());
    return width > 0 ? Settling.of(seconds, volts, width).settledSeconds() : OptionalDouble.of(0);
  }

  /** From second differences in the later half, in which a level that still moves shows little. */
  private double noise() {
    double sum = 0;
    int count = 0;
    for (int i = Math.max(1, volts.length / 2); i + 1 < volts.length; i++) {
      double bend = volts[i - 1] - 2 * volts[i] + volts[i + 1];
      sum += bend * bend;
      count++;
    }
    return count == 0 ? 0 : Math.sqrt(sum / (6 * count));
  }
}
