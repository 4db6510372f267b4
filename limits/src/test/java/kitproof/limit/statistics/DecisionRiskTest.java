package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;

/** Worked examples after JCGM 106:2012, by SciPy; sources stand in the file. */
class DecisionRiskTest {
  private static final String FILE = "decision_rules.csv";
  private static final Pattern CONFORMANCE = Pattern.compile("p_conform\\(y=([0-9.]+)\\) ?");
  private static final Pattern LIMITS =
      Pattern.compile("\\S+(?: TL=(?<low>[0-9.]+))? TU=(?<high>[0-9.]+)(?: %)? u=(?<u>[0-9.]+).*");

  private static double value(String example, String name) {
    List<CSVRecord> rows =
        Reference.rows(FILE, r -> r.get(0).equals(example) && r.get("name").equals(name));
    assertThat(rows).hasSize(1);
    return Reference.number(rows.get(0), "value");
  }

  @Test
  void conformanceWithLimits() {
    int rows = 0;
    for (CSVRecord row : Reference.rows(FILE, r -> CONFORMANCE.matcher(r.get("name")).matches())) {
      Matcher y = CONFORMANCE.matcher(row.get("name"));
      Matcher limits = LIMITS.matcher(row.get("example"));
      assertThat(y.matches() && limits.matches()).as("%s", row).isTrue();
      Double low = limits.group("low") == null ? null : Double.valueOf(limits.group("low"));
      assertThat(
              DecisionRisk.conformance(
                  Double.parseDouble(y.group(1)),
                  Double.parseDouble(limits.group("u")),
                  low,
                  Double.valueOf(limits.group("high"))))
          .as("%s", row)
          .isCloseTo(Reference.number(row, "value"), within(1e-9));
      rows++;
    }
    assertThat(rows).isEqualTo(20);
  }

  /** The breakdown voltage of the guide's example, clause 7. */
  @Test
  void conformanceWithOneLimit() {
    double p = DecisionRisk.conformance(-5.47, 0.05, null, -5.40);
    assertThat(p).isCloseTo(value("upper_limit_zener", "conformance_probability"), within(1e-9));
    assertThat(p)
        .isCloseTo(value("upper_limit_zener", "published_conformance_probability"), within(0.005));
    assertThat(DecisionRisk.conformance(5.47, 0.05, 5.40, null)).isCloseTo(p, within(1e-12));
  }

  @Test
  void guardBands() {
    for (CSVRecord row :
        Reference.rows(FILE, r -> r.get("name").startsWith("g=w/u for conformance"))) {
      String name = row.get("name");
      double p = Double.parseDouble(name.substring(name.lastIndexOf(' ') + 1));
      assertThat(DecisionRisk.guardBand(0.1, p))
          .as(name)
          .isCloseTo(0.1 * Reference.number(row, "value"), within(1e-9));
    }
  }

  @Test
  void risksOfAProduction() {
    check(
        "resistor TL=1499.8 TU=1500.2 y0=1500 u0=0.12 um=0.04",
        1500,
        0.12,
        0.04,
        1499.8,
        1500.2,
        0);
    check("same, guard band w=0.04", 1500, 0.12, 0.04, 1499.8, 1500.2, 0.04);
    check("same, guard band w=0.08 (=U)", 1500, 0.12, 0.04, 1499.8, 1500.2, 0.08);
    check("gain 20±1 dB y0=20.1 u0=0.4 um=0.1, w=0", 20.1, 0.4, 0.1, 19, 21, 0);
    check("gain 20±1 dB y0=20.1 u0=0.4 um=0.1, w=0.2", 20.1, 0.4, 0.1, 19, 21, 0.2);
  }

  private static void check(
      String name, double mean, double spread, double u, double low, double high, double guard) {
    DecisionRisk.Global risk = DecisionRisk.global(mean, spread, u, low, high, guard);
    assertThat(risk.falseAccept())
        .as(name)
        .isCloseTo(value("global_risk", name + " consumer_risk"), within(1e-10));
    assertThat(risk.falseReject())
        .as(name)
        .isCloseTo(value("global_risk", name + " producer_risk"), within(1e-9));
  }

  @Test
  void aBetterMeasurementJudgesBetterAndOneLimitIsEnough() {
    DecisionRisk.Global coarse = DecisionRisk.global(0, 1, 0.5, null, 1.0, 0);
    DecisionRisk.Global fine = DecisionRisk.global(0, 1, 1e-3, null, 1.0, 0);
    assertThat(fine.falseAccept()).isLessThan(coarse.falseAccept()).isPositive();
    // For a small uncertainty both risks are u·φ(limit)/√(2π).
    double expected = 1e-3 * Math.exp(-0.5) / (2 * Math.PI);
    assertThat(fine.falseAccept()).isCloseTo(expected, within(0.01 * expected));
    assertThat(fine.falseReject()).isCloseTo(expected, within(0.01 * expected));
  }

  @Test
  void refusesWhatHasNoRisk() {
    assertThatThrownBy(() -> DecisionRisk.conformance(1, 0, 0.0, 2.0))
        .hasMessageContaining("uncertainty");
    assertThatThrownBy(() -> DecisionRisk.conformance(1, 1, null, null))
        .hasMessageContaining("no limit");
    assertThatThrownBy(() -> DecisionRisk.global(0, 1, 1, -1.0, 1.0, 2))
        .hasMessageContaining("leaves nothing");
  }
}
