package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;

/**
 * Against SciPy's integrals and printed tables (Odeh and Owen; NIST); sources stand in the file.
 */
class ToleranceFactorTest {
  private static final String FILE = "tolerance_factors.csv";

  private static double factor(CSVRecord row, String kind) {
    int n = Integer.parseInt(row.get("n"));
    double coverage = Reference.number(row, "coverage_P");
    double confidence = Reference.number(row, "confidence");
    return switch (kind) {
      case "two-sided exact" -> ToleranceFactor.twoSided(n, coverage, confidence);
      case "two-sided Howe" -> ToleranceFactor.twoSidedByHowe(n, coverage, confidence);
      case "one-sided exact" -> ToleranceFactor.oneSided(n, coverage, confidence);
      default -> throw new IllegalArgumentException(kind);
    };
  }

  @Test
  void agreeWithAnotherProgram() {
    for (String kind : List.of("two-sided exact", "two-sided Howe", "one-sided exact")) {
      List<CSVRecord> rows = Reference.rows(FILE, r -> r.get("kind").equals(kind));
      assertThat(rows).hasSize(40);
      for (CSVRecord row : rows) {
        double expected = Reference.number(row, "k");
        assertThat(factor(row, kind)).as("%s", row).isCloseTo(expected, within(2e-8 * expected));
      }
    }
  }

  @Test
  void agreeWithPrintedTables() {
    for (CSVRecord row : Reference.rows(FILE, r -> r.get("kind").endsWith(" exact published"))) {
      assertThat(factor(row, "two-sided exact"))
          .as("%s", row)
          .isCloseTo(Reference.number(row, "k"), within(6e-4));
    }
    CSVRecord howe =
        Reference.rows(FILE, r -> r.get("kind").equals("two-sided Howe published")).get(0);
    assertThat(factor(howe, "two-sided Howe")).isCloseTo(Reference.number(howe, "k"), within(5e-5));
  }

  @Test
  void moreUnitsNeedLessMargin() {
    assertThat(ToleranceFactor.twoSided(12, 0.99, 0.95))
        .isGreaterThan(ToleranceFactor.twoSided(24, 0.99, 0.95))
        .isGreaterThan(ToleranceFactor.oneSided(12, 0.99, 0.95));
    // In the limit the quantile of the normal distribution itself.
    assertThat(ToleranceFactor.twoSided(1_000_000, 0.95, 0.5)).isCloseTo(1.95996, within(1e-4));
  }

  @Test
  void refusesWhatHasNoFactor() {
    assertThatThrownBy(() -> ToleranceFactor.twoSided(1, 0.9, 0.9))
        .hasMessageContaining("1 values");
    assertThatThrownBy(() -> ToleranceFactor.twoSided(5, 1, 0.9)).hasMessageContaining("coverage");
    assertThatThrownBy(() -> ToleranceFactor.oneSided(5, 0.5, 0.9)).hasMessageContaining("0.5");
  }
}
