package kitproof.signal;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.DoubleFunction;
import kitproof.value.Curve;
import kitproof.value.Unit;
import org.apache.commons.math3.complex.Complex;

/**
 * What of a driven channel is heard in another, in dB relative to the driven one, against frequency
 * (IEC 60268-3, from memory).
 *
 * <p>Noise and hum set a floor below which nothing can be told. It is measured with nothing played,
 * through the same analysis. A level less than {@link #CLEAR_OF_FLOOR_DB} above it is not given as
 * it was found: the curve then shows the level below which crosstalk must lie, and {@link
 * #isLimited} says so.
 */
public final class Crosstalk {
  /** So far above the floor noise moves a level by less than 3 dB, but for its rare peaks. */
  public static final double CLEAR_OF_FLOOR_DB = 12;

  /** What noise may have hidden of a level that is not clear of the floor ends here above it. */
  public static final double BOUND_OVER_FLOOR_DB = 16;

  /** Points on each side over which the floor, which is noise, is averaged. */
  private static final int NEIGHBOURS = 6;

  /** Stands for nothing at all, of which there are no decibels. */
  private static final double LEAST = 1e-15;

  private final double[] hz;
  private final double[] level;
  private final double[] floor;
  private final boolean[] limited;

  private Crosstalk(double[] hz, double[] level, double[] floor, boolean[] limited) {
    this.limited = limited;
    this.hz = hz;
    this.level = level;
    this.floor = floor;
  }

  /**
   * Compares three responses to one stimulus.
   *
   * @param atHz rising
   * @param driven of the driven channel by frequency
   * @param other of the other channel at the same time
   * @param silent of the other channel when nothing is played
   * @throws IllegalArgumentException where nothing comes out of the driven channel
   */
  public static Crosstalk of(
      double[] atHz,
      DoubleFunction<Complex> driven,
      DoubleFunction<Complex> other,
      DoubleFunction<Complex> silent) {
    Require.samples(atHz, 1);
    int n = atHz.length;
    double[] found = new double[n];
    double[] noise = new double[n];
    for (int i = 0; i < n; i++) {
      double reference = driven.apply(atHz[i]).abs();
      if (reference == 0) {
        throw new IllegalArgumentException(
            "nothing comes out of the driven channel at " + atHz[i] + " Hz");
      }
      found[i] = other.apply(atHz[i]).abs() / reference;
      noise[i] = silent.apply(atHz[i]).abs() / reference;
    }
    double[] level = new double[n];
    double[] floor = new double[n];
    boolean[] limited = new boolean[n];
    for (int i = 0; i < n; i++) {
      int from = Math.max(0, i - NEIGHBOURS);
      int to = Math.min(n, i + NEIGHBOURS + 1);
      floor[i] = Levels.db(Math.max(LEAST, Levels.rms(Arrays.copyOfRange(noise, from, to))));
      level[i] = Levels.db(Math.max(LEAST, found[i]));
      limited[i] = level[i] < floor[i] + CLEAR_OF_FLOOR_DB;
      level[i] = limited[i] ? floor[i] + BOUND_OVER_FLOOR_DB : level[i];
    }
    return new Crosstalk(atHz.clone(), level, floor, limited);
  }

  /** Crosstalk, or the level that it is below where {@link #isLimited} says so. */
  public Curve level() {
    return Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, level);
  }

  /** What noise and hum alone would be taken for. */
  public Curve floor() {
    return Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, floor);
  }

  /** Whether the level at one of the frequencies is a bound that the noise sets. */
  public boolean isLimited(int index) {
    return limited[index];
  }

  /** Whether the level read off the curve at a frequency rests on a bound. */
  public boolean isLimitedAt(double atHz) {
    int above = 0;
    while (above < hz.length - 1 && hz[above] < atHz) {
      above++;
    }
    boolean between = above > 0 && hz[above] != atHz;
    return isLimited(above) || (between && isLimited(above - 1));
  }

  /** The stretches, by their first and last frequency, where the noise limits what is told. */
  public List<Band> limited() {
    List<Band> bands = new ArrayList<>();
    int from = -1;
    for (int i = 0; i <= hz.length; i++) {
      boolean now = i < hz.length && isLimited(i);
      if (now && from < 0) {
        from = i;
      } else if (!now && from >= 0) {
        // A single point is a stretch up to halfway to its neighbours.
        double low = from == i - 1 && from > 0 ? Math.sqrt(hz[from] * hz[from - 1]) : hz[from];
        double high = from == i - 1 && i < hz.length ? Math.sqrt(hz[i - 1] * hz[i]) : hz[i - 1];
        if (high > low) {
          bands.add(new Band(low, high));
        }
        from = -1;
      }
    }
    return bands;
  }
}
