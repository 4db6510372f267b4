package kitproof.batch;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.value.Conditions;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/**
 * Means and ranges of three units in a row. By hand, with A2 = 1.023 and D4 = 2.574 for three
 * (NIST/SEMATECH e-Handbook 6.3.2.1; ASTM's tables have the same).
 */
class SubgroupMarksTest {
  private static SeriesReport report(double[]... groups) {
    List<Series.Point> points = new ArrayList<>();
    for (double[] group : groups) {
      for (double value : group) {
        Instant time = Instant.parse("2026-11-25T08:00:00Z").plusSeconds(600L * points.size());
        points.add(new Series.Point("LN12-" + (101 + points.size()), "bench-1", time, value));
      }
    }
    Series series = new Series("gain", Conditions.NONE, Unit.DECIBEL, null, false, points);
    return SeriesReport.of(List.of(series), ZoneOffset.UTC, 3).get(0);
  }

  @SuppressWarnings("unchecked") // as BatchTree makes it
  private static Map<String, Object> tree(SeriesReport report) {
    Batch none = new Batch("b", List.of());
    List<Map<String, Object>> results =
        (List<Map<String, Object>>) BatchTree.of(none, List.of(report), List.of()).get("results");
    return (Map<String, Object>) results.get(0).get("subgroups");
  }

  /** Ranges 0.2; grand mean 26.08; 26.08 + 1.023 × 0.2 = 26.28: the fifth mean, 26.4, is beyond. */
  @Test
  void aMeanBeyondItsLimitIsMarkedWithItsGroup() {
    SeriesReport report =
        report(
            new double[] {26.0, 26.1, 25.9},
            new double[] {26.05, 26.1, 25.9},
            new double[] {25.95, 26.1, 25.9},
            new double[] {26.0, 26.1, 25.9},
            new double[] {26.4, 26.5, 26.3});
    assertThat(BatchText.remarks(report))
        .contains("groups of 3 units in a row: 1 point beyond 3 sigma at group 5");
    assertThat(tree(report).get("runRules"))
        .isEqualTo(List.of(Map.of("rule", "1 point beyond 3 sigma", "group", 5)));
    assertThat(tree(report).get("rangesBeyond")).isEqualTo(List.of());
  }

  /** Mean range (4 × 0.2 + 1.9) / 5 = 0.54; 2.574 × 0.54 = 1.39: 1.9 is beyond, no mean is. */
  @Test
  void aRangeBeyondItsLimitIsMarkedWithItsGroup() {
    SeriesReport report =
        report(
            new double[] {26.0, 26.1, 25.9},
            new double[] {25.0, 26.9, 26.1},
            new double[] {25.95, 26.1, 25.9},
            new double[] {26.0, 26.1, 25.9},
            new double[] {26.4, 26.5, 26.3});
    assertThat(BatchText.remarks(report))
        .contains("groups of 3 units in a row: range beyond its limit in group 2");
    assertThat(tree(report).get("runRules")).isEqualTo(List.of());
    assertThat(tree(report).get("rangesBeyond")).isEqualTo(List.of(2));
  }

  @Test
  void groupsThatAreAlikeAreNotMarked() {
    SeriesReport report =
        report(
            new double[] {26.0, 26.1, 25.9},
            new double[] {26.05, 26.1, 25.9},
            new double[] {25.95, 26.1, 25.9},
            new double[] {26.0, 26.1, 25.9});
    assertThat(BatchText.remarks(report)).noneMatch(remark -> remark.startsWith("groups of"));
  }
}
