package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Rosner's example (Technometrics 25, 1983) as the NIST/SEMATECH e-Handbook gives it, 1.3.5.17.3.
 *
 * <p>Data and results were written from memory; that all twenty figures agree confirms them. The
 * printed figures are cut off after three decimals, not rounded.
 */
class OutliersTest {
  private static final double[] ROSNER = {
    -0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65,
    1.69, 1.70, 1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.10, 2.14, 2.15, 2.23, 2.24,
    2.26, 2.35, 2.37, 2.40, 2.47, 2.54, 2.62, 2.64, 2.90, 2.92, 2.92, 2.93, 3.21, 3.26, 3.30, 3.59,
    3.68, 4.30, 4.64, 5.34, 5.42, 6.01
  };
  private static final double[] STATISTICS = {
    3.118, 2.942, 3.179, 2.810, 2.815, 2.848, 2.279, 2.310, 2.101, 2.067
  };
  private static final double[] CRITICAL = {
    3.158, 3.151, 3.143, 3.136, 3.128, 3.120, 3.111, 3.103, 3.094, 3.085
  };

  @Test
  void threeThatHideOneAnother() {
    double[] before = ROSNER.clone();
    Outliers found = Outliers.find(ROSNER, 10, 0.05);
    assertThat(found.steps()).hasSize(10);
    for (int i = 0; i < 10; i++) {
      Outliers.Step step = found.steps().get(i);
      assertThat(step.statistic()).as("R%d", i + 1).isCloseTo(STATISTICS[i], within(1e-3));
      assertThat(step.critical()).as("lambda%d", i + 1).isCloseTo(CRITICAL[i], within(1e-3));
    }
    assertThat(found.indices()).containsExactly(53, 52, 51);
    assertThat(ROSNER).isEqualTo(before);
  }

  @Test
  void noneAmongEqualsOrNeighbours() {
    assertThat(Outliers.find(new double[] {5, 5, 5, 5}, 2, 0.05).indices()).isEmpty();
    assertThat(Outliers.find(new double[] {1, 2, 3, 4, 5}, 2, 0.05).indices()).isEmpty();
  }

  @Test
  void oneOfTwelve() {
    double[] values = {10, 10.1, 9.9, 10.05, 9.95, 10, 10.1, 9.9, 12, 10.02, 9.98, 10.04};
    assertThat(Outliers.find(values, 3, 0.05).indices()).isEqualTo(List.of(8));
  }

  @Test
  void refusesMoreThanCanBeTold() {
    assertThatThrownBy(() -> Outliers.find(new double[] {1, 2, 3}, 2, 0.05))
        .hasMessageContaining("at most 2 outliers among 3");
  }
}
