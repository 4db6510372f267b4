package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against the certified digits of the NIST StRD univariate sets. */
class SummaryTest {
  private static final String CERTIFIED = "nist_univariate_certified.csv";

  private static double[] observations(String set) {
    if (set.startsWith("NumAcc") && !set.equals("NumAcc1")) {
      return alternating(set);
    }
    return Reference.rows("nist_univariate_data.csv", r -> r.get("dataset").equals(set)).stream()
        .mapToDouble(r -> Reference.number(r, "y"))
        .toArray();
  }

  /** NIST StRD defines these as one value, then 500 pairs 0.1 below and above it. */
  private static double[] alternating(String set) {
    String whole = set.equals("NumAcc2") ? "1" : set.equals("NumAcc3") ? "1000000" : "10000000";
    double[] values = new double[1001];
    Arrays.setAll(
        values, i -> Double.parseDouble(whole + (i == 0 ? ".2" : i % 2 == 1 ? ".1" : ".3")));
    return values;
  }

  /**
   * Tolerances: the sets' values themselves are only as near to the certified ones as a double of
   * their size allows, 2e-9 of the deviations in NumAcc4.
   */
  @ParameterizedTest
  @CsvSource({
    "Lew,1e-14",
    "Lottery,1e-14",
    "PiDigits,1e-13",
    "Mavro,1e-12",
    "Michelso,1e-12",
    "NumAcc1,1e-14",
    "NumAcc2,1e-13",
    "NumAcc3,1e-9",
    "NumAcc4,3e-8"
  })
  void theCertifiedDigits(String set, double tolerance) {
    CSVRecord row = Reference.rows(CERTIFIED, r -> r.get("dataset").equals(set)).get(0);
    double[] values = observations(set);
    double[] before = values.clone();
    Summary summary = Summary.of(values);
    assertThat(summary.count()).isEqualTo(Integer.parseInt(row.get("n")));
    double mean = Reference.number(row, "mean");
    assertThat(summary.mean()).isCloseTo(mean, within(1e-14 * Math.abs(mean)));
    double deviation = Reference.number(row, "stddev_n_minus_1");
    assertThat(summary.standardDeviation()).isCloseTo(deviation, within(tolerance * deviation));
    assertThat(Summary.autocorrelation(values))
        .isCloseTo(Reference.number(row, "autocorr_lag1"), within(tolerance * 10));
    assertThat(values).as("input untouched").isEqualTo(before);
  }

  @Test
  void orderAndMedian() {
    Summary odd = Summary.of(3, 1, 2);
    assertThat(odd.lowest()).isEqualTo(1);
    assertThat(odd.median()).isEqualTo(2);
    assertThat(odd.highest()).isEqualTo(3);
    assertThat(Summary.of(4, 1, 2, 3).median()).isEqualTo(2.5);
  }

  @Test
  void refusesWhatTellsNothing() {
    assertThatThrownBy(() -> Summary.of(1)).hasMessageContaining("1 values");
    assertThatThrownBy(() -> Summary.of(1, Double.NaN)).hasMessageContaining("value 2");
    assertThatThrownBy(() -> Summary.autocorrelation(1, 1)).hasMessageContaining("the same");
  }
}
