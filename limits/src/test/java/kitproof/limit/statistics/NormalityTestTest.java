package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;

class NormalityTestTest {
  /** Statistics by SciPy, of published data sets; sources stand in the files. */
  @Test
  void theStatisticAgreesWithAnotherProgram() {
    int sets = 0;
    for (CSVRecord row : Reference.rows("anderson_darling.csv", r -> true)) {
      String set = row.get("dataset");
      double[] values =
          set.equals("Mavro") || set.equals("Michelso")
              ? Reference.rows("nist_univariate_data.csv", r -> r.get("dataset").equals(set))
                  .stream()
                  .mapToDouble(r -> Reference.number(r, "y"))
                  .toArray()
              : Reference.data("capability_examples.csv", set);
      assertThat(values).hasSize(Integer.parseInt(row.get("n")));
      double expected = Reference.number(row, "statistic");
      assertThat(NormalityTest.of(values).statistic()).as(set).isCloseTo(expected, within(1e-8));
      sets++;
    }
    assertThat(sets).isEqualTo(5);
  }

  /** Of normal values a fraction as large as the significance is refused. */
  @Test
  void theProbabilityIsWhatItSays() {
    long seed = 20261125;
    Random random = new Random(seed);
    int runs = 4000;
    int belowFive = 0;
    int belowTen = 0;
    for (int i = 0; i < runs; i++) {
      double p =
          NormalityTest.of(random.doubles(12).map(x -> random.nextGaussian()).toArray())
              .probability();
      belowFive += p < 0.05 ? 1 : 0;
      belowTen += p < 0.1 ? 1 : 0;
    }
    // Four standard deviations of a binomial count.
    assertThat(belowFive / (double) runs).as("seed %d", seed).isCloseTo(0.05, within(0.014));
    assertThat(belowTen / (double) runs).as("seed %d", seed).isCloseTo(0.1, within(0.019));
  }

  @Test
  void skewedValuesAreNotTakenForNormal() {
    double[] skewed = {1, 1, 1, 1, 1.1, 1.2, 1.2, 1.3, 1.5, 9, 12, 30};
    assertThat(NormalityTest.of(skewed).probability()).isBetween(0.0, 0.001);
    double[] far = {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1e9};
    assertThat(NormalityTest.of(far).probability()).isBetween(0.0, 1e-6);
  }

  @Test
  void refusesTooFew() {
    assertThatThrownBy(() -> NormalityTest.of(1, 2, 3)).hasMessageContaining("8 or more");
  }
}
