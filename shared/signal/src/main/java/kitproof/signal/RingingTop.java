package kitproof.signal;

import java.util.Optional;
import org.apache.commons.math3.exception.ConvergenceException;
import org.apache.commons.math3.exception.TooManyEvaluationsException;
import org.apache.commons.math3.exception.TooManyIterationsException;
import org.apache.commons.math3.fitting.leastsquares.LeastSquaresBuilder;
import org.apache.commons.math3.fitting.leastsquares.LeastSquaresOptimizer;
import org.apache.commons.math3.fitting.leastsquares.LevenbergMarquardtOptimizer;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.linear.RealVector;
import org.apache.commons.math3.util.Pair;

/**
 * A square wave's top with one damped oscillation on it, fitted together (Levenberg-Marquardt of
 * Commons Math): a line through a top that still rings follows the ringing.
 *
 * @param top volts at the edge
 * @param slope of the top's logarithm, per half period
 */
record RingingTop(double top, double slope) {
  private static final int POINTS = 256;
  private static final int MOST = 200;

  /** What may be left beside the curve, rms, over the top. */
  private static final double GOOD = 0.02;

  /** The oscillation is taken to lose this much of itself in half a period until it is known. */
  private static final double FIRST_DECAY = 3;

  /**
   * Fits top·exp(slope·x) + exp(-decay·x)·(a·cos(turn·x) + b·sin(turn·x)) for x in half periods.
   *
   * @param from the place of an extreme of the oscillation, steps after the edge
   * @param to the last step
   * @param start top and slope to begin from
   * @param stepsPerCycle of the oscillation, about
   * @return empty if no such curve fits
   */
  static Optional<RingingTop> fit(
      Edge edge, int from, int to, RingingTop start, double stepsPerCycle) {
    int half = edge.half();
    double[] x = new double[POINTS];
    double[] volts = new double[POINTS];
    for (int i = 0; i < POINTS; i++) {
      int step = from + (int) ((long) (to - from) * i / (POINTS - 1));
      x[i] = (double) step / half;
      volts[i] = edge.at(step);
    }
    double turn = 2 * Math.PI * half / stepsPerCycle;
    int cycle = (int) Math.round(stepsPerCycle);
    double mean = start.top;
    if (from + cycle <= to) {
      mean = 0;
      for (int i = 0; i < cycle; i++) {
        mean += edge.at(from + i) / cycle; // over a cycle the ringing is nearly gone
      }
    }
    double first = edge.at(from) - mean;
    double second = mean - edge.at(from + cycle / 2);
    double decay =
        first > second && second > 0 ? Math.log(first / second) * 2 * half / cycle : FIRST_DECAY;
    double high = first * Math.exp(decay * x[0]);
    double[] guess = {
      mean, 0, decay, turn, high * Math.cos(turn * x[0]), high * Math.sin(turn * x[0])
    };
    try {
      LeastSquaresOptimizer.Optimum found =
          new LevenbergMarquardtOptimizer()
              .optimize(
                  new LeastSquaresBuilder()
                      .start(guess)
                      .target(volts)
                      .model(p -> model(p, x))
                      .maxEvaluations(MOST)
                      .maxIterations(MOST)
                      .build());
      double[] p = found.getPoint().toArray();
      boolean sound = p[0] > 0 && p[2] >= 0 && found.getRMS() < GOOD * p[0];
      return sound ? Optional.of(new RingingTop(p[0], p[1])) : Optional.empty();
    } catch (ConvergenceException | TooManyEvaluationsException | TooManyIterationsException e) {
      return Optional.empty();
    }
  }

  /** The curve and its derivatives. */
  private static Pair<RealVector, RealMatrix> model(RealVector parameters, double[] x) {
    double[] p = parameters.toArray();
    double[] values = new double[x.length];
    double[][] slopes = new double[x.length][];
    for (int i = 0; i < x.length; i++) {
      double flat = Math.exp(p[1] * x[i]);
      double decay = Math.exp(-p[2] * x[i]);
      double cosine = decay * Math.cos(p[3] * x[i]);
      double sine = decay * Math.sin(p[3] * x[i]);
      double ring = p[4] * cosine + p[5] * sine;
      values[i] = p[0] * flat + ring;
      slopes[i] =
          new double[] {
            flat,
            p[0] * x[i] * flat,
            -x[i] * ring,
            x[i] * (p[5] * cosine - p[4] * sine),
            cosine,
            sine
          };
    }
    return new Pair<>(new ArrayRealVector(values, false), new Array2DRowRealMatrix(slopes, false));
  }
}
