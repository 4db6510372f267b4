package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.List;
import kitproof.limit.statistics.GaugeByAnova.MeanSquare;
import org.apache.commons.math3.distribution.ChiSquaredDistribution;
import org.apache.commons.math3.distribution.FDistribution;

/**
 * Confidence bounds of a sum or difference of mean squares, by the modified large-sample method.
 *
 * <p>Graybill and Wang, Journal of the American Statistical Association 75 (1980) 869, for sums;
 * Ting et al., Journal of Statistical Computation and Simulation 35 (1990) 135, for a difference.
 * Exact for a single mean square. Used for gauge studies by Burdick, Borror and Montgomery, Journal
 * of Quality Technology 35 (2003) 342. Formulas from memory; a simulation in the tests checks their
 * coverage.
 */
final class VarianceBounds {
  private final double tail;
  private final List<Term> terms;

  private record Term(MeanSquare square, double factor) {
    double value() {
      return Math.abs(factor) * square.mean();
    }
  }

  VarianceBounds(double confidence) {
    this((1 - confidence) / 2, List.of());
  }

  private VarianceBounds(double tail, List<Term> terms) {
    this.tail = tail;
    this.terms = terms;
  }

  VarianceBounds plus(MeanSquare square, double factor) {
    List<Term> more = new ArrayList<>(terms);
    more.add(new Term(square, factor));
    return new VarianceBounds(tail, more);
  }

  VarianceBounds minus(MeanSquare square, double factor) {
    return plus(square, -factor);
  }

  /** Bounds of the root of the variance; a negative end is 0. */
  Interval standardDeviation() {
    double estimate = terms.stream().mapToDouble(t -> Math.signum(t.factor()) * t.value()).sum();
    double down = 0;
    double up = 0;
    for (Term term : terms) {
      double g = square(lowerReach(term.square()) * term.value());
      double h = square(upperReach(term.square()) * term.value());
      down += term.factor() > 0 ? g : h;
      up += term.factor() > 0 ? h : g;
    }
    for (Term plus : terms) {
      for (Term minus : terms) {
        if (plus.factor() > 0 && minus.factor() < 0) {
          double product = plus.value() * minus.value();
          down += crossDown(plus.square(), minus.square()) * product;
          up += crossUp(plus.square(), minus.square()) * product;
        }
      }
    }
    return new Interval(
        Math.sqrt(Math.max(0, estimate - Math.sqrt(Math.max(0, down)))),
        Math.sqrt(Math.max(0, estimate + Math.sqrt(Math.max(0, up)))));
  }

  /** G: how far below its mean square a variance may be, as a part of it. */
  private double lowerReach(MeanSquare square) {
    return 1 - square.freedom() / chi(square).inverseCumulativeProbability(1 - tail);
  }

  /** H: how far above. */
  private double upperReach(MeanSquare square) {
    return square.freedom() / chi(square).inverseCumulativeProbability(tail) - 1;
  }

  private double crossDown(MeanSquare plus, MeanSquare minus) {
    double f = ratio(plus, minus).inverseCumulativeProbability(1 - tail);
    return (square(f - 1) - square(lowerReach(plus) * f) - square(upperReach(minus))) / f;
  }

  private double crossUp(MeanSquare plus, MeanSquare minus) {
    double f = ratio(plus, minus).inverseCumulativeProbability(tail);
    return (square(1 - f) - square(upperReach(plus) * f) - square(lowerReach(minus))) / f;
  }

  private static ChiSquaredDistribution chi(MeanSquare square) {
    return new ChiSquaredDistribution(null, square.freedom());
  }

  private static FDistribution ratio(MeanSquare plus, MeanSquare minus) {
    return new FDistribution(null, plus.freedom(), minus.freedom());
  }

  private static double square(double x) {
    return x * x;
  }
}
