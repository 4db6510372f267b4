package kitproof.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Factors against table G.2 of JCGM 100:2008, as printed there; values from memory. */
class CoverageTest {
  @ParameterizedTest
  @CsvSource({
    "1, 0.9545, 13.97", "2, 0.9545, 4.53", "3, 0.9545, 3.31", "5, 0.9545, 2.65",
    "10, 0.9545, 2.28", "20, 0.9545, 2.13", "50, 0.9545, 2.05", "Infinity, 0.9545, 2.000",
    "1, 0.95, 12.71", "4, 0.95, 2.78", "10, 0.95, 2.23", "Infinity, 0.95, 1.960",
    "16, 0.99, 2.92", "Infinity, 0.99, 2.576", "3, 0.9973, 9.22", "Infinity, 0.9973, 3.000",
  })
  void factorsOfTheGuidesTable(double degreesOfFreedom, double probability, double printed) {
    assertThat(Coverage.factor(probability, degreesOfFreedom)).isCloseTo(printed, within(0.0051));
  }

  @Test
  void oneSidedFactorsOfTheNormalDistribution() {
    // ISO 14253-1:2017, guard-band factor for 95 %: 1.65 (from memory)
    assertThat(Coverage.oneSided(0.95, Double.POSITIVE_INFINITY)).isCloseTo(1.645, within(5e-4));
    assertThat(Coverage.oneSided(0.5, 7)).isCloseTo(0, within(1e-12));
  }

  @Test
  void degreesOfFreedomNeedNotBeWhole() {
    double between = Coverage.factor(0.95, 4.5);
    assertThat(between).isBetween(Coverage.factor(0.95, 5), Coverage.factor(0.95, 4));
  }

  @Test
  void probabilitiesAreTheInverseOfFactors() {
    for (double nu : new double[] {1, 3.7, 40, Double.POSITIVE_INFINITY}) {
      for (double p : new double[] {0.01, 0.5, 0.9, 0.999}) {
        assertThat(Coverage.below(Coverage.oneSided(p, nu), nu)).isCloseTo(p, within(1e-9));
      }
    }
    assertThat(Coverage.below(Double.POSITIVE_INFINITY, 3)).isEqualTo(1);
    assertThat(Coverage.below(Double.NEGATIVE_INFINITY, 3)).isEqualTo(0);
  }

  @Test
  void whatIsNoProbabilityIsRefused() {
    assertThatThrownBy(() -> Coverage.factor(1, 5)).isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> Coverage.oneSided(0.9, 0))
        .isInstanceOf(IllegalArgumentException.class);
  }
}
