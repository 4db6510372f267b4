package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * The NIST/SEMATECH e-Handbook's individuals chart (6.3.2.2) and Montgomery's piston rings (1991);
 * sources stand in the file.
 */
class ChartsTest {
  private static final String FILE = "control_chart_examples.csv";

  private static double nist(String kind, String name) {
    return Reference.value(FILE, "nist_individuals", kind, name);
  }

  private static double rings(String kind, String name) {
    return Reference.value(FILE, "pistonrings", kind, name);
  }

  @Test
  void individualsOfTheHandbook() {
    IndividualsChart chart = IndividualsChart.of(Reference.data(FILE, "nist_individuals"));
    assertThat(chart.values()).hasSize(10);
    assertThat(chart.limits().centre()).isCloseTo(nist("published", "mean"), within(1e-9));
    assertThat(chart.ranges().centre()).isCloseTo(nist("published", "MRbar"), within(5e-5));
    assertThat(chart.ranges().centre()).isCloseTo(nist("computed", "MRbar"), within(1e-9));
    // The handbook rounds d2 to 1.128.
    assertThat(chart.limits().upper()).isCloseTo(nist("published", "UCL"), within(0.002));
    assertThat(chart.limits().lower()).isCloseTo(nist("published", "LCL"), within(0.002));
    assertThat(chart.limits().upper()).isCloseTo(nist("computed", "UCL_d2_exact"), within(1e-8));
    assertThat(chart.limits().lower()).isCloseTo(nist("computed", "LCL_d2_exact"), within(1e-8));
    assertThat(chart.ranges().upper()).isCloseTo(nist("computed", "UCL_MR_exact"), within(1e-8));
    assertThat(chart.ranges().lower()).isZero();
    assertThat(chart.marks(RuleMark.FOUR_ZONE_RULES)).as("in control").isEmpty();
  }

  private static SubgroupChart rings() {
    double[] values = Reference.data(FILE, "pistonrings");
    assertThat(values).hasSize(200);
    List<List<Double>> subgroups = new ArrayList<>();
    for (int i = 0; i < 125; i += 5) { // the chart is made from the first 25 subgroups
      List<Double> subgroup = new ArrayList<>();
      for (int j = 0; j < 5; j++) {
        subgroup.add(values[i + j]);
      }
      subgroups.add(subgroup);
    }
    return SubgroupChart.of(subgroups);
  }

  @Test
  void subgroupsOfPistonRings() {
    SubgroupChart chart = rings();
    assertThat(chart.meanLimits().centre()).isCloseTo(rings("computed", "xbarbar"), within(1e-8));
    assertThat(chart.rangeLimits().centre()).isCloseTo(rings("computed", "Rbar"), within(1e-10));
    assertThat(chart.sigma()).isCloseTo(rings("computed", "sigma_from_R"), within(1e-11));
    assertThat(chart.meanLimits().lower()).isCloseTo(rings("computed", "xbar_LCL_R"), within(1e-8));
    assertThat(chart.meanLimits().upper()).isCloseTo(rings("computed", "xbar_UCL_R"), within(1e-8));
    assertThat(chart.rangeLimits().lower()).isZero();
    assertThat(chart.rangeLimits().upper()).isCloseTo(rings("computed", "R_UCL"), within(1e-10));
    // Another program, which rounds d2 to 2.326.
    assertThat(chart.meanLimits().upper())
        .isCloseTo(rings("computed in R", "xbar_UCL_R"), within(1e-6));
    assertThat(chart.marks(RuleMark.FOUR_ZONE_RULES))
        .noneMatch(mark -> mark.rule() == RunRule.BEYOND_LIMITS);
  }

  @Test
  void aStepOfTheProcessIsMarked() {
    double[] values = {10, 10.1, 9.9, 10, 10.1, 9.9, 10, 10.1, 9.9, 10, 12};
    assertThat(IndividualsChart.of(values).marks(RuleMark.FOUR_ZONE_RULES))
        .contains(new RuleMark(RunRule.BEYOND_LIMITS, 10));
  }

  @Test
  void valuesThatNeverChangeMarkNothing() {
    IndividualsChart flat = IndividualsChart.of(5, 5, 5);
    assertThat(flat.sigma()).isZero();
    assertThat(flat.marks(RuleMark.FOUR_ZONE_RULES)).isEmpty();
  }

  @Test
  void subgroupsAreOfOneSize() {
    assertThatThrownBy(() -> SubgroupChart.of(List.of(List.of(1.0, 2.0), List.of(1.0))))
        .hasMessageContaining("2 and 1");
  }
}
