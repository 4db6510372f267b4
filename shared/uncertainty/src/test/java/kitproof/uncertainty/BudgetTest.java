package kitproof.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Side;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.apache.commons.math3.stat.correlation.PearsonsCorrelation;
import org.apache.commons.math3.stat.descriptive.moment.Mean;
import org.apache.commons.math3.stat.descriptive.moment.StandardDeviation;
import org.junit.jupiter.api.Test;

/** Worked examples of JCGM 100:2008, annex H; their data and results from memory. */
class BudgetTest {
  private static Contribution of(String name, double standard, double nu) {
    return Contribution.known(name, Distribution.NORMAL, standard, Unit.ONE).with(nu);
  }

  /** H.1: a 50 mm end gauge, in nanometres. */
  @Test
  void endGauge() {
    Budget difference = // H.1.3.2
        Budget.of(of("repeats", 5.8, 24), of("random", 3.9, 5), of("systematic", 6.7, 8));
    assertThat(difference.standard()).isCloseTo(9.7, within(0.05));
    assertThat(difference.degreesOfFreedom()).isCloseTo(25.6, within(0.3));

    Budget length =
        Budget.of(
            of("standard", 25, 18),
            of("difference", 9.7, 25.6),
            // l·θ·u(δα): 50 mm, 0.1 °C, 0.58e-6 per °C, known to 10 %
            of("expansion", 0.58e-6, 1).knownTo(0.1).times(50e6 * 0.1),
            // l·α·u(δθ): 50 mm, 11.5e-6 per °C, 0.029 °C, known to 50 %
            of("temperature", 0.029, 1).knownTo(0.5).times(-50e6 * 11.5e-6));
    assertThat(length.standard()).isCloseTo(32, within(0.5));
    assertThat(length.degreesOfFreedom()).isCloseTo(16.7, within(0.2));
    assertThat(length.expanded(0.99)).isCloseTo(93, within(1.0));
  }

  private static final double[] VOLTS = {5.007, 4.994, 5.005, 4.990, 4.999};
  private static final double[] MILLIAMPERES = {19.663, 19.639, 19.640, 19.685, 19.678};
  private static final double[] RADIANS = {1.0456, 1.0438, 1.0468, 1.0428, 1.0433};

  /** H.2: resistance and reactance from volts, amperes and phase that were read together. */
  @Test
  void resistanceReactanceAndImpedanceFromCorrelatedReadings() {
    double[] at = {mean(VOLTS), mean(MILLIAMPERES) / 1e3, mean(RADIANS)};
    List<Contribution> inputs =
        List.of(
            Contribution.observed("V", deviation(VOLTS), 5, Unit.VOLT),
            Contribution.observed("I", deviation(MILLIAMPERES) / 1e3, 5, Unit.AMPERE),
            Contribution.observed("phi", deviation(RADIANS), 5, Unit.ONE));
    double vi = correlation(VOLTS, MILLIAMPERES);
    double vPhi = correlation(VOLTS, RADIANS);
    double iPhi = correlation(MILLIAMPERES, RADIANS);
    assertThat(new double[] {vi, vPhi, iPhi})
        .containsExactly(new double[] {-0.36, 0.86, -0.65}, within(0.005));

    Budget resistance = Propagation.budget(x -> x[0] / x[1] * Math.cos(x[2]), at, inputs);
    assertThat(at[0] / at[1] * Math.cos(at[2])).isCloseTo(127.732, within(5e-4));
    assertThat(together(resistance, vi, vPhi, iPhi).standard()).isCloseTo(0.071, within(5e-4));
    assertThat(together(resistance, vi, vPhi, iPhi).degreesOfFreedom()).isCloseTo(4, within(1e-9));

    Budget reactance = Propagation.budget(x -> x[0] / x[1] * Math.sin(x[2]), at, inputs);
    assertThat(at[0] / at[1] * Math.sin(at[2])).isCloseTo(219.847, within(5e-4));
    assertThat(together(reactance, vi, vPhi, iPhi).standard()).isCloseTo(0.295, within(1e-3));

    Budget impedance = Propagation.budget(x -> x[0] / x[1], at, inputs);
    assertThat(at[0] / at[1]).isCloseTo(254.260, within(5e-4));
    assertThat(together(impedance, vi, vPhi, iPhi).standard()).isCloseTo(0.236, within(5e-4));
  }

  private static Budget together(Budget budget, double vi, double vPhi, double iPhi) {
    return budget
        .correlated("V", "I", vi)
        .correlated("V", "phi", vPhi)
        .correlated("I", "phi", iPhi);
  }

  private static double mean(double[] values) {
    return new Mean().evaluate(values);
  }

  private static double deviation(double[] values) {
    return new StandardDeviation().evaluate(values);
  }

  private static double correlation(double[] one, double[] other) {
    return new PearsonsCorrelation().correlation(one, other);
  }

  /** JCGM 101:2008, 9.2.2 and 9.2.3 (from memory): four equal inputs, and u = 2.0. */
  @Test
  void sumsOfEqualInputs() {
    Budget rectangular =
        Budget.of(
            Contribution.within("a", Distribution.RECTANGULAR, Math.sqrt(3), Unit.ONE),
            Contribution.within("b", Distribution.RECTANGULAR, Math.sqrt(3), Unit.ONE),
            Contribution.within("c", Distribution.RECTANGULAR, Math.sqrt(3), Unit.ONE),
            Contribution.within("d", Distribution.RECTANGULAR, Math.sqrt(3), Unit.ONE));
    assertThat(rectangular.standard()).isCloseTo(2, within(1e-12));
    assertThat(rectangular.expanded(0.95)).isCloseTo(3.92, within(0.005));
  }

  /** JCGM 100:2008, 5.2.2, example: ten resistors calibrated against one standard. */
  @Test
  void fullyCorrelatedContributionsAddLinearly() {
    Budget chain = Budget.of(of("r1", 0.1, 1e9), of("r2", 0.1, 1e9), of("r3", 0.1, 1e9));
    assertThat(chain.standard()).isCloseTo(0.1 * Math.sqrt(3), within(1e-12));
    Budget same =
        chain.correlated("r1", "r2", 1).correlated("r1", "r3", 1).correlated("r2", "r3", 1);
    assertThat(same.standard()).isCloseTo(0.3, within(1e-12));
    Budget against = Budget.of(of("a", 0.1, 9), of("b", 0.1, 9).times(-1)).correlated("a", "b", 1);
    assertThat(against.standard()).isCloseTo(0, within(1e-12));
    assertThat(against.degreesOfFreedom()).isInfinite();
  }

  @Test
  void oneSidedContributionsCountOnTheirSideOnly() {
    Budget budget =
        Budget.of(
            of("both", 3, 8),
            of("down", 4, 5).on(Side.BELOW),
            of("up", 1, 5).times(2).on(Side.ABOVE));
    assertThat(budget.standard(Side.BELOW)).isCloseTo(5, within(1e-12));
    assertThat(budget.standard(Side.ABOVE)).isCloseTo(Math.sqrt(13), within(1e-12));
    Budget turned = Budget.of(of("both", 3, 8), of("down", 4, 5).on(Side.BELOW).times(-1));
    assertThat(turned.standard(Side.ABOVE)).isCloseTo(5, within(1e-12));
    assertThat(turned.standard(Side.BELOW)).isCloseTo(3, within(1e-12));
    Uncertainty carried = budget.uncertainty();
    assertThat(carried.below(0)).isCloseTo(5, within(1e-12));
    assertThat(carried.degreesOfFreedom(0)).isCloseTo(625 / (81 / 8.0 + 256 / 5.0), within(1e-9));
    assertThat(carried.budget()).hasSize(3);
  }

  @Test
  void nothingUncertainIsCertain() {
    Budget none = Budget.of(List.of());
    assertThat(none.standard()).isZero();
    assertThat(none.degreesOfFreedom()).isInfinite();
    assertThat(none.expanded(0.95)).isZero();
  }

  @Test
  void whatCannotBeIsRefused() {
    Budget three = Budget.of(of("a", 1, 1), of("b", 1, 1), of("c", 1, 1));
    assertThatThrownBy(() -> Budget.of(of("a", 1, 1), of("a", 2, 1)))
        .hasMessageContaining("two contributions \"a\"");
    assertThatThrownBy(() -> three.correlated("a", "b", 1.1)).hasMessageContaining("1.1");
    assertThatThrownBy(() -> three.correlated("a", "x", 0.1)).hasMessageContaining("\"x\"");
    Budget impossible =
        three.correlated("a", "b", 0.9).correlated("b", "c", 0.9).correlated("a", "c", -0.9);
    assertThatThrownBy(impossible::standard).hasMessageContaining("no quantities can have");
    assertThatThrownBy(() -> of("a", -1, 1)).hasMessageContaining("-1");
    assertThatThrownBy(() -> of("a", 1, 0)).hasMessageContaining("degrees of freedom");
    assertThatThrownBy(() -> Contribution.observed("a", 1, 1, Unit.ONE))
        .hasMessageContaining("1 observations");
    assertThatThrownBy(() -> Contribution.within("a", Distribution.NORMAL, 1, Unit.ONE))
        .hasMessageContaining("half-width");
  }
}
