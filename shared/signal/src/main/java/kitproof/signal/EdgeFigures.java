package kitproof.signal;

import java.util.OptionalDouble;
import org.apache.commons.math3.stat.StatUtils;
import org.apache.commons.math3.stat.regression.SimpleRegression;

/**
 * What a square wave looks like behind a device; levels as IEC 60469 has them (from memory).
 *
 * <p>Only the odd harmonics are looked at: that is the mean of the rising edges and the falling
 * ones turned over, and keeps out noise, hum and DC.
 *
 * @param riseSeconds from 10 % to 90 % of the step, the stimulus' own slope included
 * @param overshoot highest excursion above the top, over the step from bottom to top; 0 for none
 * @param ringingHz frequency of what rings on after the edge; empty if nothing does
 * @param sag what the top loses until the next edge, over its height at the first; negative if it
 *     gains
 * @param stepVolts from bottom to top at the edge
 */
public record EdgeFigures(
    double riseSeconds, double overshoot, OptionalDouble ringingHz, double sag, double stepVolts) {

  /** Less than this part of the step is no ringing. */
  private static final double RINGS_FROM = 0.005;

  /** Where, between one edge and the next, the top is taken to be free of ringing. */
  private static final double TOP_FROM = 0.3;

  private static final double TOP_TO = 0.85;

  /**
   * Looks at whole periods.
   *
   * @param volts a whole number of periods of the wave, at least one
   * @throws IllegalArgumentException also if there is no square wave in it
   */
  public static EdgeFigures of(double[] volts, SquareWave wave) {
    return of(Edge.of(volts, wave));
  }

  private static EdgeFigures of(Edge edge) {
    SimpleRegression line = new SimpleRegression();
    int half = edge.half();
    for (int i = (int) (TOP_FROM * half); i < TOP_TO * half; i++) {
      if (!(edge.at(i) > 0)) {
        throw new IllegalArgumentException("no square wave: the top does not stay above zero");
      }
      line.addData(i, Math.log(edge.at(i)));
    }
    // The logarithm: behind one coupling capacitor the top falls as an exponential.
    double top = Math.exp(line.getIntercept());
    double end = top * Math.exp(line.getSlope() * half);
    double step = top + end;
    double low = edge.crossing(-end + 0.1 * step, -1);
    double high = edge.crossing(-end + 0.9 * step, 1);
    double[] rest = new double[(int) (TOP_TO * half)];
    for (int i = (int) Math.ceil(high); i < rest.length; i++) {
      rest[i] = (edge.at(i) - top * Math.exp(line.getSlope() * i)) / step;
    }
    return new EdgeFigures(
        (high - low) * edge.stepSeconds(),
        Math.max(0, StatUtils.max(rest)),
        ringing(rest, edge.stepSeconds()),
        1 - end / top,
        step);
  }

  /** From the first excursion above to the next; to the one below and twice that if it is lost. */
  private static OptionalDouble ringing(double[] rest, double stepSeconds) {
    int above = extreme(rest, 1, 1);
    int below = above < 0 ? -1 : extreme(rest, above + 1, -1);
    if (below < 0) {
      return OptionalDouble.empty();
    }
    int next = extreme(rest, below + 1, 1);
    double steps = next > 0 ? next - above : 2.0 * (below - above);
    return OptionalDouble.of(1 / (steps * stepSeconds));
  }

  /**
   * The first local extreme on one side that is large enough to be ringing; -1 if there is none.
   */
  private static int extreme(double[] rest, int from, int side) {
    for (int i = from; i < rest.length - 1; i++) {
      double value = side * rest[i];
      if (value > RINGS_FROM && value > side * rest[i - 1] && value >= side * rest[i + 1]) {
        return i;
      }
    }
    return -1;
  }
}
