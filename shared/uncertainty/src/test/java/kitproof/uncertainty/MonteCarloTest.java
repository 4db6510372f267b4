package kitproof.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.function.DoubleSupplier;
import java.util.function.ToDoubleFunction;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Side;
import kitproof.value.Unit;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.random.Well19937c;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.junit.jupiter.api.Test;

/** Budgets against propagation of distributions (JCGM 101:2008), with seeded random numbers. */
class MonteCarloTest {
  private static final int TRIALS = 100_000;
  private static final long SEED = 20080901;

  private final Well19937c random = new Well19937c(SEED);

  private double draw(Contribution of) {
    double half = of.standard() * of.distribution().divisor();
    return switch (of.distribution()) {
      case NORMAL ->
          Double.isInfinite(of.degreesOfFreedom())
              ? of.standard() * random.nextGaussian()
              : of.standard() * student(of.degreesOfFreedom());
      case RECTANGULAR -> half * (2 * random.nextDouble() - 1);
      case TRIANGULAR -> {
        double one = random.nextDouble();
        yield half * (one - random.nextDouble());
      }
      case OFFSET -> half;
      case ARCSINE -> half * Math.sin(2 * Math.PI * random.nextDouble());
    };
  }

  private double student(double nu) {
    return new TDistribution(random, nu).sample();
  }

  private static DescriptiveStatistics trials(DoubleSupplier one) {
    DescriptiveStatistics statistics = new DescriptiveStatistics();
    for (int i = 0; i < TRIALS; i++) {
      statistics.addValue(one.getAsDouble());
    }
    return statistics;
  }

  private DescriptiveStatistics drawn(
      ToDoubleFunction<double[]> figure, double[] at, List<Contribution> inputs) {
    return trials(
        () -> {
          double[] x = at.clone();
          for (int i = 0; i < x.length; i++) {
            x[i] += draw(inputs.get(i));
          }
          return figure.applyAsDouble(x);
        });
  }

  /** Power in a load: volts by an accuracy class, a resistance, repeats; what a run computes. */
  @Test
  void powerInALoad() {
    double[] at = {9.8, 8.02, 0};
    List<Contribution> inputs =
        List.of(
            AccuracyClass.parse("±(0.5 % + 3 digits)")
                .contribution("volts", 9.8, 0, 0.001, Unit.VOLT),
            Contribution.within("load", Distribution.TRIANGULAR, 0.04, Unit.OHM),
            Contribution.known("ripple", Distribution.ARCSINE, 0.02, Unit.VOLT));
    ToDoubleFunction<double[]> watts = x -> (x[0] + x[2]) * (x[0] + x[2]) / x[1];
    Budget budget = Propagation.budget(watts, at, inputs);
    DescriptiveStatistics found = drawn(watts, at, inputs);
    assertThat(found.getStandardDeviation())
        .isCloseTo(budget.standard(), within(0.005 * budget.standard()));
    double half = (found.getPercentile(97.725) - found.getPercentile(2.275)) / 2;
    // Of distributions that end somewhere the interval is a little narrower than a normal one's.
    assertThat(budget.expanded(Coverage.USUAL)).isBetween(half * 0.99, half * 1.06);
  }

  /** A gain in decibels, whose sensitivities are not one. */
  @Test
  void gainInDecibels() {
    double[] at = {9.8, 0.45};
    List<Contribution> inputs =
        List.of(
            Contribution.known("output", Distribution.NORMAL, 0.02, Unit.VOLT),
            Contribution.within("input", Distribution.RECTANGULAR, 0.003, Unit.VOLT));
    ToDoubleFunction<double[]> gain = x -> 20 * Math.log10(x[0] / x[1]);
    Budget budget = Propagation.budget(gain, at, inputs);
    assertThat(budget.contributions().get(0).sensitivity())
        .isCloseTo(20 / Math.log(10) / 9.8, within(1e-4));
    assertThat(drawn(gain, at, inputs).getStandardDeviation())
        .isCloseTo(budget.standard(), within(0.01 * budget.standard()));
  }

  /**
   * Few repeats beside a certificate: the whole measurement again and again, and how often the
   * interval by Welch and Satterthwaite holds the truth.
   */
  @Test
  void fewRepeatsBesideACertificate() {
    double certificate = 0.4;
    int held = 0;
    for (int trial = 0; trial < TRIALS; trial++) {
      DescriptiveStatistics repeats = new DescriptiveStatistics();
      for (int i = 0; i < 4; i++) {
        repeats.addValue(random.nextGaussian());
      }
      double error = repeats.getMean() + certificate * random.nextGaussian();
      Budget budget =
          Budget.of(
              Contribution.observed("repeats", repeats.getStandardDeviation(), 4, Unit.VOLT),
              Contribution.known("certificate", Distribution.NORMAL, certificate, Unit.VOLT));
      held +=
          Math.abs(error) <= Coverage.factor(0.95, budget.degreesOfFreedom()) * budget.standard()
              ? 1
              : 0;
    }
    assertThat((double) held / TRIALS).as("seed %d", SEED).isCloseTo(0.95, within(0.012));
  }

  /** JCGM 101:2008, 9.2.3.2 (from memory): four rectangular inputs, 95 % within ±3.88. */
  @Test
  void theTrialsThemselvesGiveThePublishedInterval() {
    Contribution one = Contribution.known("one", Distribution.RECTANGULAR, 1, Unit.ONE);
    DescriptiveStatistics found =
        drawn(x -> x[0] + x[1] + x[2] + x[3], new double[4], List.of(one, one, one, one));
    assertThat(found.getStandardDeviation()).isCloseTo(2, within(0.01));
    assertThat(found.getPercentile(97.5)).isCloseTo(3.88, within(0.03));
    assertThat(found.getPercentile(2.5)).isCloseTo(-3.88, within(0.03));
  }

  /**
   * Distortion near the station's own: the unit's harmonic, the station's with any phase towards
   * it, and the station's noise make a reading; the truth must lie where the budget says.
   */
  @Test
  void distortionNearTheStationsOwn() {
    for (double truth : new double[] {0.3, 1, 3, 10}) {
      double noise = 1;
      double own = 0.4;
      int[] held = {0};
      DescriptiveStatistics readings =
          trials(
              () -> {
                double phase = 2 * Math.PI * random.nextDouble();
                double harmonic =
                    Math.sqrt(truth * truth + own * own + 2 * truth * own * Math.cos(phase));
                double reading = Math.hypot(harmonic, noise);
                Budget budget = Budget.of(NearResidual.of(reading, noise, own, Unit.PERCENT));
                double low = reading - 2 * budget.standard(Side.BELOW);
                double high = reading + 2 * budget.standard(Side.ABOVE);
                held[0] += low <= truth && truth <= high ? 1 : 0;
                return reading;
              });
      assertThat((double) held[0] / TRIALS).as("%s, seed %d", truth, SEED).isGreaterThan(0.95);
      assertThat(readings.getMean()).isGreaterThan(truth);
    }
  }

  @Test
  void theNearerToTheResidualTheLessIsKnownBelow() {
    double last = 0;
    for (double reading : new double[] {10, 5, 3, 2, 1.5, 1.1, 1}) {
      Budget budget = Budget.of(NearResidual.of(reading, 1, 0.01, Unit.PERCENT));
      double relative = budget.standard(Side.BELOW) / reading;
      assertThat(relative).isGreaterThan(last);
      assertThat(budget.standard(Side.ABOVE)).isCloseTo(0.01 / Math.sqrt(2), within(1e-12));
      last = relative;
    }
    assertThat(NearResidual.excess(0.8, 1)).isEqualTo(0.8);
    assertThat(NearResidual.excess(100, 1)).isCloseTo(0.005, within(1e-6)); // n²/2m
  }
}
