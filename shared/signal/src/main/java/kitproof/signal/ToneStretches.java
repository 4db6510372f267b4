package kitproof.signal;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * The tones of a capture that holds one after the other, each of another frequency, for as long as
 * it likes: found without knowing when they begin or what they are.
 */
public final class ToneStretches {
  /** A tone that is to be found lasts at least so many frames. */
  private static final int FRAMES = 4;

  private static final double SAME_TONE = 0.005;

  /** Of the loudest frame: less is the pause between two tones. */
  private static final double QUIET = 1e-3;

  private ToneStretches() {}

  /**
   * One tone.
   *
   * @param from the first sample of the part that is steady
   * @param to the one after its last
   * @param roughHz its frequency
   */
  public record Stretch(int from, int to, double roughHz) {}

  /**
   * Finds them, in their order.
   *
   * @param volts the capture
   * @param rate samples per second
   * @param shortestSeconds how long the shortest tone lasts; the lowest has twenty cycles in this
   */
  public static List<Stretch> of(double[] volts, double rate, double shortestSeconds) {
    Require.samples(volts, 64);
    Require.positive("sample rate", rate);
    Require.positive("shortest tone", shortestSeconds);
    int most = (int) Math.min(1 << 30, shortestSeconds * rate / FRAMES);
    if (most < 64) {
      throw new IllegalArgumentException(shortestSeconds + " s are too short for a tone");
    }
    // A power of two is looked at as a whole.
    int frame = Integer.highestOneBit(most);
    int count = volts.length / frame;
    double[] hz = new double[count];
    double[] level = new double[count];
    double loudest = 0;
    for (int k = 0; k < count; k++) {
      double[] part = Arrays.copyOfRange(volts, k * frame, (k + 1) * frame);
      level[k] = swing(part);
      loudest = Math.max(loudest, level[k]);
      hz[k] = frequency(part, rate);
    }
    List<Stretch> found = new ArrayList<>();
    int first = 0;
    for (int k = 1; k <= count; k++) {
      boolean goesOn =
          k < count && level[k] > QUIET * loudest && Math.abs(hz[k] / hz[first] - 1) <= SAME_TONE;
      if (!goesOn) {
        // The frames at both ends may hold the neighbour, or a fade.
        if (k - first >= FRAMES - 1 && level[first] > QUIET * loudest) {
          found.add(new Stretch((first + 1) * frame, (k - 1) * frame, hz[first + 1]));
        }
        first = k;
      }
    }
    return found;
  }

  private static double swing(double[] part) {
    double mean = Levels.dc(part);
    double sum = 0;
    for (double volt : part) {
      sum += (volt - mean) * (volt - mean);
    }
    return Math.sqrt(sum / part.length);
  }

  private static double frequency(double[] part, double rate) {
    try {
      return ToneFinder.strongest(part, rate);
    } catch (IllegalArgumentException e) {
      return Double.NaN; // no tone here: it is no part of a stretch
    }
  }
}
