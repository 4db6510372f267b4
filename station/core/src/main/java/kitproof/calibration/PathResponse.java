package kitproof.calibration;

import java.util.Arrays;

/**
 * Level and phase that the audio path adds by itself, against frequency: straight lines between
 * points on a logarithmic frequency axis, held beyond the first and the last.
 *
 * <p>The uncertainty between two points is interpolated like the level itself. That is more than
 * that of two independent points, as the path may bend between them.
 */
public final class PathResponse {
  private final double[] logHertz;
  private final double[] levels;
  private final double[] standards;
  private final double[] phases;

  /**
   * Copies its points.
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

  /** Phase that comes back, degrees. */
  public double phase(double hertz) {
    return at(phases, hertz);
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
