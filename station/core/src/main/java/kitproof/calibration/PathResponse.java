package kitproof.calibration;

import java.util.Arrays;
import java.util.List;

/**
 * Level and phase that the audio path adds by itself, against frequency: straight lines between
 * points on a logarithmic frequency axis, held beyond the first and the last.
 *
 * <p>The uncertainty between two points is interpolated like the level itself. That is more than
 * that of two independent points, as the path may bend between them.
 */
public final class PathResponse {
  private static final double FADE_OCTAVES = 2;

  private final double[] logHertz;
  private final double[] levels;
  private final double[] standards;
  private final double[] degrees;
  private final double[] phases;
  private final double[] phaseStandards;
  private final double[] phaseDegrees;

  /**
   * A point of the path.
   *
   * @param hertz above zero
   * @param level dB
   * @param standard standard uncertainty of the level, dB
   * @param degreesOfFreedom of that
   * @param phase degrees, without jumps of a whole turn from point to point
   * @param phaseStandard its standard uncertainty, degrees; NaN if it is not known
   * @param phaseDegreesOfFreedom of that
   */
  public record Point(
      double hertz,
      double level,
      double standard,
      double degreesOfFreedom,
      double phase,
      double phaseStandard,
      double phaseDegreesOfFreedom) {}

  /**
   * Of points.
   *
   * @param points by frequency, rising strictly, at least two
   */
  public PathResponse(List<Point> points) {
    this(
        points.stream().mapToDouble(Point::hertz).toArray(),
        points.stream().mapToDouble(Point::level).toArray(),
        points.stream().mapToDouble(Point::standard).toArray(),
        points.stream().mapToDouble(Point::phase).toArray());
    for (int i = 0; i < points.size(); i++) {
      degrees[i] = points.get(i).degreesOfFreedom;
      phaseStandards[i] = points.get(i).phaseStandard;
      phaseDegrees[i] = points.get(i).phaseDegreesOfFreedom;
    }
  }

  /**
   * Copies its points; of the phase it is not known how well it is known.
   *
   * @param hertz rising strictly, above zero, at least two
   * @param levels dB
   * @param standards standard uncertainty of the levels, dB
   * @param phases degrees, without jumps of a whole turn
   */
  public PathResponse(double[] hertz, double[] levels, double[] standards, double[] phases) {
    if (hertz.length < 2
        || hertz.length != levels.length
        || hertz.length != standards.length
        || hertz.length != phases.length) {
      throw new IllegalArgumentException("a response of " + hertz.length + " points");
    }
    this.logHertz = new double[hertz.length];
    for (int i = 0; i < hertz.length; i++) {
      logHertz[i] = Math.log(hertz[i]);
      if (!(hertz[i] > 0) || (i > 0 && !(hertz[i] > hertz[i - 1]))) {
        throw new IllegalArgumentException("point " + i + " at " + hertz[i] + " Hz");
      }
    }
    this.levels = levels.clone();
    this.standards = standards.clone();
    this.phases = phases.clone();
    this.degrees = filled(hertz.length, Double.POSITIVE_INFINITY);
    this.phaseStandards = filled(hertz.length, Double.NaN);
    this.phaseDegrees = filled(hertz.length, Double.POSITIVE_INFINITY);
  }

  private static double[] filled(int length, double value) {
    double[] filled = new double[length];
    Arrays.fill(filled, value);
    return filled;
  }

  /** Whether the frequency lies between the first and the last point. */
  public boolean covers(double hertz) {
    double at = Math.log(hertz);
    return at >= logHertz[0] && at <= logHertz[logHertz.length - 1];
  }

  /** The lowest and the highest frequency that were calibrated. */
  public double[] range() {
    return new double[] {Math.exp(logHertz[0]), Math.exp(logHertz[logHertz.length - 1])};
  }

  /** Level that comes back, dB. */
  public double level(double hertz) {
    return at(levels, hertz);
  }

  /** Standard uncertainty of the level, dB. */
  public double standard(double hertz) {
    return at(standards, hertz);
  }

  /** Degrees of freedom of that: of two points around a frequency the lower. */
  public double degreesOfFreedom(double hertz) {
    return lower(degrees, hertz);
  }

  /** Standard uncertainty of the phase, degrees; NaN if the calibration does not tell it. */
  public double phaseStandard(double hertz) {
    return at(phaseStandards, hertz);
  }

  /** Degrees of freedom of that: of two points around a frequency the lower. */
  public double phaseDegreesOfFreedom(double hertz) {
    return lower(phaseDegrees, hertz);
  }

  private double lower(double[] of, double hertz) {
    double wanted = Math.log(hertz);
    int above = 1;
    while (above < of.length - 1 && logHertz[above] < wanted) {
      above++;
    }
    return Math.min(of[above - 1], of[above]);
  }

  /** Phase that comes back, degrees. */
  public double phase(double hertz) {
    return at(phases, hertz);
  }

  /**
   * The corner of a coupling capacitor that turns the phase at the first point as far as it is
   * turned there, Hz; 0 if it is not turned like that.
   */
  public double corner() {
    return phases[0] > 0 && phases[0] < 80
        ? Math.exp(logHertz[0]) * Math.tan(Math.toRadians(phases[0]))
        : 0;
  }

  /**
   * The level that is left with the coupling capacitor taken out, dB, as far as it is corrected.
   */
  public double remainingLevel(double hertz) {
    double part = corrected(hertz);
    double ratio = corner() / hertz;
    return part == 0 ? 0 : part * (level(hertz) + 10 * Math.log10(1 + ratio * ratio));
  }

  /** The phase that is left with the coupling capacitor taken out, degrees, likewise. */
  public double remainingPhase(double hertz) {
    double part = corrected(hertz);
    return part == 0 ? 0 : part * (phase(hertz) - Math.toDegrees(Math.atan(corner() / hertz)));
  }

  /**
   * How much of what is left besides a coupling capacitor is taken out of samples: nothing up to
   * the first point, all from two octaves above it. What begins at one frequency all at once would
   * ring there for seconds, and a block of another tone would show it.
   */
  double corrected(double hertz) {
    double octaves = hertz > 0 ? (Math.log(hertz) - logHertz[0]) / Math.log(2) : 0;
    double part = Math.max(0, Math.min(1, octaves / FADE_OCTAVES));
    return 0.5 * (1 - Math.cos(Math.PI * part));
  }

  /** The highest level of any point, dB. */
  public double highest() {
    return Arrays.stream(levels).max().orElseThrow();
  }

  private double at(double[] values, double hertz) {
    double wanted = hertz > 0 ? Math.log(hertz) : Double.NEGATIVE_INFINITY;
    int last = logHertz.length - 1;
    if (wanted <= logHertz[0]) {
      return values[0];
    }
    if (wanted >= logHertz[last]) {
      return values[last];
    }
    int low = 0;
    int high = last;
    while (high - low > 1) {
      int middle = (low + high) >>> 1;
      if (logHertz[middle] <= wanted) {
        low = middle;
      } else {
        high = middle;
      }
    }
    double part = (wanted - logHertz[low]) / (logHertz[high] - logHertz[low]);
    return values[low] + part * (values[high] - values[low]);
  }
}
