package kitproof.signal;

import java.util.Optional;
import java.util.OptionalDouble;
import org.apache.commons.math3.stat.StatUtils;
import org.apache.commons.math3.stat.regression.SimpleRegression;

/**
 * What a square wave looks like behind a device; levels as IEC 60469 has them (from memory).
 *
 * <p>Only the odd harmonics are looked at: that is the mean of the rising edges and the falling
 * ones turned over, and keeps out noise, hum and DC. A top that rings is fitted together with its
 * ringing, which may last until the next edge.
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
    RingingTop top = new RingingTop(Math.exp(line.getIntercept()), line.getSlope() * half);
    // The ringing is looked for beside that line, and where it has bent the line, beside a flat
    // top.
    top = ringing(edge, top).or(() -> ringing(edge, flat(edge))).orElse(top);
    double[] rest = rest(edge, top);
    OptionalDouble cycle = cycle(rest, extreme(rest, 1, 1));
    double step = step(top);
    double low = edge.crossing(-end(top) + 0.1 * step, -1);
    double high = edge.crossing(-end(top) + 0.9 * step, 1);
    return new EdgeFigures(
        (high - low) * edge.stepSeconds(),
        Math.max(0, StatUtils.max(rest)),
        cycle.isPresent()
            ? OptionalDouble.of(1 / (cycle.getAsDouble() * edge.stepSeconds()))
            : OptionalDouble.empty(),
        1 - end(top) / top.top(),
        step);
  }

  /** In steps of so many seconds edges and ringing are looked at. */
  public static double stepSeconds(SquareWave wave) {
    return Edge.stepSeconds(wave);
  }

  /** The top with its ringing, seen beside a first guess; empty if nothing rings there. */
  private static Optional<RingingTop> ringing(Edge edge, RingingTop guess) {
    double[] rest = rest(edge, guess);
    int above = extreme(rest, 1, 1);
    OptionalDouble cycle = cycle(rest, above);
    return cycle.isPresent()
        ? RingingTop.fit(edge, above, rest.length - 1, guess, cycle.getAsDouble())
        : Optional.empty();
  }

  private static RingingTop flat(Edge edge) {
    int from = (int) (TOP_FROM * edge.half());
    int to = (int) (TOP_TO * edge.half());
    double sum = 0;
    for (int i = from; i < to; i++) {
      sum += edge.at(i);
    }
    return new RingingTop(sum / (to - from), 0);
  }

  /** The top at the next edge. */
  private static double end(RingingTop top) {
    return top.top() * Math.exp(top.slope());
  }

  private static double step(RingingTop top) {
    return top.top() + end(top);
  }

  /** What there is beside the top, over the step, from where the edge is past 90 % of it. */
  private static double[] rest(Edge edge, RingingTop top) {
    double step = step(top);
    int half = edge.half();
    double[] rest = new double[(int) (TOP_TO * half)];
    for (int i = (int) Math.ceil(edge.crossing(-end(top) + 0.9 * step, 1)); i < rest.length; i++) {
      rest[i] = (edge.at(i) - top.top() * Math.exp(top.slope() * i / half)) / step;
    }
    return rest;
  }

  /**
   * Steps from the first excursion above to the next; to the one below and twice that if it is
   * lost.
   */
  private static OptionalDouble cycle(double[] rest, int above) {
    int below = above < 0 ? -1 : extreme(rest, above + 1, -1);
    if (below < 0) {
      return OptionalDouble.empty();
    }
    int next = extreme(rest, below + 1, 1);
    return OptionalDouble.of(next > 0 ? next - above : 2.0 * (below - above));
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
