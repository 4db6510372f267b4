package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;

class TrendTest {
  private static double[] norris(String name) {
    return Reference.rows(
            "nist_regression.csv", r -> r.get("kind").equals("obs") && r.get("name").equals(name))
        .stream()
        .mapToDouble(r -> Reference.number(r, "value"))
        .toArray();
  }

  private static double certified(String name) {
    return Reference.value("nist_regression.csv", "Norris", "certified", name);
  }

  /** NIST StRD, linear regression. */
  @Test
  void theCertifiedLine() {
    Trend trend = Trend.of(norris("x"), norris("y"));
    assertThat(trend.slope()).isCloseTo(certified("B1"), within(1e-12));
    assertThat(trend.intercept()).isCloseTo(certified("B0"), within(1e-10));
    assertThat(trend.slopeError()).isCloseTo(certified("sd_B1"), within(1e-13));
    assertThat(trend.probability()).isLessThan(1e-20);
  }

  /** SciPy 1.17.1, scipy.stats.linregress on the data written here. */
  @Test
  void theProbabilityOfAnotherProgram() {
    Trend trend = Trend.inOrder(26.1, 26.3, 26.2, 26.5, 26.4, 26.8);
    assertThat(trend.slope()).isCloseTo(0.11714285714285688, within(1e-12));
    assertThat(trend.slopeError()).isCloseTo(0.03121137068223629, within(1e-12));
    assertThat(trend.intercept()).isCloseTo(25.973333333333336, within(1e-11));
    assertThat(trend.probability()).isCloseTo(0.019891594630032, within(1e-9));
  }

  @Test
  void endsOfTheScale() {
    assertThat(Trend.inOrder(5, 5, 5).probability()).isEqualTo(1);
    assertThat(Trend.inOrder(1, 2, 3).slope()).isCloseTo(1, within(1e-12));
    assertThatThrownBy(() -> Trend.of(new double[] {1, 1, 1}, new double[] {1, 2, 3}))
        .hasMessageContaining("all x");
  }

  @Test
  void causesByHowOftenTheyOccurred() {
    assertThat(Pareto.of(List.of("hum", "gain", "hum", "thd", "hum", "gain", "bias", "hum")))
        .containsExactly(
            new Pareto.Bar("hum", 4, 0.5),
            new Pareto.Bar("gain", 2, 0.75),
            new Pareto.Bar("bias", 1, 0.875),
            new Pareto.Bar("thd", 1, 1.0));
    assertThat(Pareto.of(List.of())).isEmpty();
  }
}
