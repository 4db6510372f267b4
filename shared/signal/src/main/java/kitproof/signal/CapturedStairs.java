package kitproof.signal;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A captured tone that rises in stairs of equal length, found without knowing when it began: the
 * edges are where the tone's level moves most, taken over all stairs.
 */
public final class CapturedStairs {
  /** Of the highest level: below this a level's movement is noise. */
  private static final double FLOOR = 0.01;

  /** Part of a stair that the search's steps, edges and another clock may take from its end. */
  private static final double RESERVE = 0.04;

  /** A level that moves by more than this part within the block is noise. */
  private static final double STEADY = 0.1;

  private static final double SAME_TONE = 0.01;
  private static final double MOSTLY_TONE = 0.7;

  private CapturedStairs() {}

  /**
   * One stair.
   *
   * @param from the first sample of the part that is measured
   * @param to the one after its last
   * @param figures of the tone on it
   */
  public record Stair(int from, int to, ToneFigures figures) {}

  /**
   * Finds the stairs, an unbroken row of them, in their order.
   *
   * @param volts the capture
   * @param rate samples per second
   * @param roughHz the tone within a tenth
   * @param stairSeconds how long a stair lasts, within a thousandth
   * @param settleSeconds how much of its beginning is left out, less than nine tenths of it
   * @param band of thd+n
   * @param harmonics the highest
   * @throws IllegalArgumentException if there is no tone, or less than a stair of it
   */
  public static List<Stair> of(
      double[] volts,
      double rate,
      double roughHz,
      double stairSeconds,
      double settleSeconds,
      Band band,
      int harmonics) {
    Require.positive("stair", stairSeconds);
    if (!(settleSeconds >= 0) || settleSeconds > 0.9 * stairSeconds) {
      throw new IllegalArgumentException(
          settleSeconds + " s to settle of stairs of " + stairSeconds + " s");
    }
    double hz = frequency(volts, rate, roughHz);
    Envelope envelope = Envelope.of(volts, rate, hz);
    double[] levels = new double[envelope.size()];
    Arrays.setAll(levels, envelope::volts);
    double frame = envelope.seconds(1) - envelope.seconds(0);
    double offset = edge(levels, stairSeconds / frame) * frame;
    double reserve = Math.max(RESERVE * stairSeconds, frame);
    List<Stair> best = List.of();
    List<Stair> row = new ArrayList<>();
    for (double start = offset - stairSeconds; ; start += stairSeconds) {
      int from = (int) Math.round((start + settleSeconds) * rate);
      int to = (int) Math.round((start + stairSeconds - reserve) * rate);
      if (to > volts.length) {
        return best.size() >= row.size() ? required(best) : required(row);
      }
      Stair stair =
          from < 0 || !steady(levels, from / rate / frame, to / rate / frame)
              ? null
              : measured(volts, rate, hz, from, to, band, harmonics);
      if (stair != null) {
        row.add(stair);
      } else {
        best = row.size() > best.size() ? List.copyOf(row) : best;
        row.clear();
      }
    }
  }

  private static List<Stair> required(List<Stair> stairs) {
    if (stairs.isEmpty()) {
      throw new IllegalArgumentException("no stair of a tone in the capture");
    }
    return List.copyOf(stairs);
  }

  /** From the loudest second, for the middle of a capture may be silent. */
  private static double frequency(double[] volts, double rate, double roughHz) {
    Require.samples(volts, 16);
    Require.positive("rough frequency", roughHz);
    int length = (int) Math.min(volts.length, rate);
    int loudest = 0;
    double most = -1;
    for (int from = 0; from + length <= volts.length; from += Math.max(1, length / 4)) {
      double sum = 0;
      for (int i = from; i < from + length; i++) {
        sum += volts[i] * volts[i];
      }
      if (sum > most) {
        most = sum;
        loudest = from;
      }
    }
    return ToneFinder.near(Arrays.copyOfRange(volts, loudest, loudest + length), rate, roughHz);
  }

  /** Where the stairs' edges lie, in frames from the capture's beginning and less than a stair. */
  private static double edge(double[] levels, double stair) {
    double highest = 0;
    for (double level : levels) {
      highest = Math.max(highest, level);
    }
    if (!(highest > 0) || stair < 4) {
      throw new IllegalArgumentException(
          highest > 0 ? "stairs shorter than four levels of the tone" : "nothing in the capture");
    }
    double[] moves = new double[levels.length];
    for (int k = 1; k + 1 < levels.length; k++) {
      moves[k] =
          Math.abs(levels[k + 1] - levels[k - 1])
              / (levels[k + 1] + levels[k - 1] + FLOOR * highest);
    }
    double best = 0;
    double most = -1;
    for (double offset = 0; offset < stair; offset += 0.5) {
      double sum = 0;
      for (double at = offset; at < moves.length; at += stair) {
        sum += moves[(int) at];
      }
      if (sum > most) {
        most = sum;
        best = offset;
      }
    }
    return best;
  }

  private static boolean steady(double[] levels, double from, double to) {
    int first = (int) Math.ceil(from);
    int last = Math.min(levels.length, (int) Math.floor(to));
    if (last - first < 1) {
      return false;
    }
    Spread spread = Spread.of(Arrays.copyOfRange(levels, first, last));
    return spread.mean() > 0
        && (last - first < 2 || spread.standardDeviation() <= STEADY * spread.mean());
  }

  private static @Nullable Stair measured(
      double[] volts, double rate, double hz, int from, int to, Band band, int harmonics) {
    try {
      ToneFigures figures =
          ToneAnalysis.fitted(Arrays.copyOfRange(volts, from, to), rate, hz, band, harmonics);
      boolean tone =
          Math.abs(figures.frequencyHz() / hz - 1) < SAME_TONE
              && figures.thdPlusNoise() < MOSTLY_TONE;
      return tone ? new Stair(from, to, figures) : null;
    } catch (IllegalArgumentException e) {
      return null; // no steady tone: no stair
    }
  }
}
