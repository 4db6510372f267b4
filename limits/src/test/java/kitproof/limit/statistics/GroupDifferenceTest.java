package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class GroupDifferenceTest {
  /**
   * NIST StRD, analysis of variance, to nine digits; the values of the last data set are doubles
   * near 108 that differ in their fifth decimal, which leaves seven.
   */
  @ParameterizedTest
  @CsvSource({"SiRstv, 1e-9", "SmLs01, 1e-9", "AtmWtAg, 1e-7"})
  void theCertifiedRatio(String dataset, double relative) {
    Map<String, List<Double>> groups = new TreeMap<>();
    for (CSVRecord row :
        Reference.rows(
            "nist_anova.csv", r -> r.get(0).equals(dataset) && r.get("kind").equals("obs"))) {
      groups
          .computeIfAbsent(row.get("treatment"), t -> new ArrayList<>())
          .add(Reference.number(row, "value"));
    }
    double certified = Reference.value("nist_anova.csv", dataset, "certified", "F");
    GroupDifference found =
        GroupDifference.of(
            groups.values().stream()
                .map(values -> values.stream().mapToDouble(v -> v).toArray())
                .toList());
    assertThat(found.f()).isCloseTo(certified, within(relative * certified));
  }

  /** Computed by hand. */
  @Test
  void twoGroupsByHand() {
    GroupDifference found =
        GroupDifference.of(List.of(new double[] {1, 2, 3}, new double[] {4, 5, 6}));
    // between: 6 values about 3.5, means 2 and 5: 2 * 3 * 1.5^2 = 13.5; within: 4 over 4
    assertThat(found.f()).isCloseTo(13.5, within(1e-12));
    assertThat(found.spread()).isEqualTo(3);
    // with one degree between, F is the square of Student's t: t = 3.674 with 4 degrees, p = 0.0213
    assertThat(found.probability()).isCloseTo(0.0213, within(5e-5));
  }

  @Test
  void groupsWithoutScatter() {
    assertThat(GroupDifference.of(List.of(new double[] {1, 1}, new double[] {1, 1})).probability())
        .isEqualTo(1);
    assertThat(GroupDifference.of(List.of(new double[] {1, 1}, new double[] {2, 2})).probability())
        .isZero();
  }

  @Test
  void whatIsNoGroupIsRefused() {
    assertThatThrownBy(() -> GroupDifference.of(List.of(new double[] {1, 2})))
        .hasMessageContaining("2 are needed");
    assertThatThrownBy(() -> GroupDifference.of(List.of(new double[] {1, 2}, new double[] {1})))
        .hasMessageContaining("2 or more are needed");
  }
}
