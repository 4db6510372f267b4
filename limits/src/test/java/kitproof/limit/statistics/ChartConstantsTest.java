package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;

/**
 * Against SciPy's integrals and against printed tables (ASTM MNL7, ISO 7870-2, Montgomery); sources
 * stand in the files.
 */
class ChartConstantsTest {
  private static double named(ChartConstants c, String name) {
    return switch (name) {
      case "d2" -> c.d2();
      case "d3" -> c.d3();
      case "c4" -> c.c4();
      case "A" -> c.a();
      case "A2" -> c.a2();
      case "A3" -> c.a3();
      case "B3" -> c.b3();
      case "B4" -> c.b4();
      case "B5" -> c.b5();
      case "B6" -> c.b6();
      case "D1" -> c.lowerRangeOfSigma();
      case "D2" -> c.upperRangeOfSigma();
      case "D3" -> c.lowerRange();
      case "D4" -> c.upperRange();
      case "E2" -> c.e2();
      default -> throw new IllegalArgumentException(name);
    };
  }

  private static ChartConstants of(CSVRecord row) {
    return ChartConstants.of(Integer.parseInt(row.get("n")));
  }

  @Test
  void agreeWithAnotherProgramToTenDigits() {
    List<CSVRecord> rows = Reference.rows("spc_constants_computed.csv", r -> true);
    assertThat(rows).hasSize(150);
    for (CSVRecord row : rows) {
      double expected = Reference.number(row, "value");
      assertThat(named(of(row), row.get("constant")))
          .as("%s(%s)", row.get("constant"), row.get("n"))
          .isCloseTo(expected, within(1e-9 * Math.max(1, Math.abs(expected))));
    }
  }

  /** Some printed entries differ from the exact value by one in their last digit. */
  @Test
  void agreeWithPrintedTables() {
    List<CSVRecord> rows = Reference.rows("spc_constants_published.csv", r -> true);
    assertThat(rows).hasSize(74);
    for (CSVRecord row : rows) {
      assertThat(named(of(row), row.get("constant")))
          .as("%s(%s)", row.get("constant"), row.get("n"))
          .isCloseTo(Reference.number(row, "value"), within(0.001));
    }
  }

  @Test
  void ofTwoTheClosedForms() {
    ChartConstants two = ChartConstants.of(2);
    assertThat(two.d2()).isCloseTo(2 / Math.sqrt(Math.PI), within(1e-13));
    assertThat(two.d3()).isCloseTo(Math.sqrt(2 - 4 / Math.PI), within(1e-12));
    assertThat(two.c4()).isCloseTo(Math.sqrt(2 / Math.PI), within(1e-13));
  }

  /** AIAG Measurement Systems Analysis, appendix C. */
  @Test
  void dTwoStar() {
    for (CSVRecord row :
        Reference.rows("grr_factors.csv", r -> r.get("name").startsWith("d2star"))) {
      int size = Integer.parseInt(row.get("name").replaceAll(".*m=(\\d+),.*", "$1"));
      assertThat(ChartConstants.of(size).d2Star(1))
          .as(row.get("name"))
          .isCloseTo(Reference.number(row, "value"), within(1e-9));
    }
  }

  @Test
  void refusesASubgroupOfOne() {
    assertThatThrownBy(() -> ChartConstants.of(1)).hasMessageContaining("subgroups of 1");
  }
}
