package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.apache.commons.csv.CSVRecord;
import org.apache.commons.math3.distribution.ChiSquaredDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Against the published study of 10 parts, 3 appraisers and 3 trials (AIAG, Measurement Systems
 * Analysis, 4th edition, 2010) and one of 3 × 3 × 3 (Cano, Moguerza, Redchuk 2012), in both
 * methods; sources stand in the files.
 */
class GaugeStudyTest {
  private static final String RESULTS = "grr_results.csv";

  private static GaugeData study(String name) {
    return GaugeData.of(
        Reference.rows("grr_data.csv", r -> r.get("study").equals(name)).stream()
            .map(
                r ->
                    new GaugeData.Reading(
                        r.get("appraiser"), r.get("part"), Reference.number(r, "y")))
            .toList());
  }

  private static double result(String study, String method, String kind, String name) {
    List<CSVRecord> rows =
        Reference.rows(
            RESULTS,
            r ->
                r.get("study").equals(study)
                    && r.get("method").equals(method)
                    && r.get("kind").equals(kind)
                    && r.get("name").equals(name));
    assertThat(rows).as(name).hasSize(1);
    return Reference.number(rows.get(0), "value");
  }

  @Test
  void byRangesAsPublished() {
    GaugeByRange found = GaugeByRange.of(study("aiag10x3x3"));
    GaugeSpread spread = found.spread();
    // The manual rounds its factors to four digits.
    compare(found.meanRange(), "Rbarbar", 5e-5);
    compare(found.appraiserDifference(), "Xdiff", 5e-5);
    compare(found.unitRange(), "Rp", 5e-4);
    compare(spread.repeatability(), "EV", 5e-5);
    compare(spread.reproducibility(), "AV", 1e-4);
    compare(spread.gauge(), "GRR", 5e-5);
    compare(spread.unitVariation(), "PV", 5e-4);
    compare(spread.total(), "TV", 5e-4);
    compare(100 * spread.shareOfTotal(), "pct_GRR", 0.01);
    assertThat((int) spread.distinctCategories())
        .isEqualTo((int) result("aiag10x3x3", "range", "published", "ndc"));
  }

  private static void compare(double value, String name, double tolerance) {
    assertThat(value)
        .as(name)
        .isCloseTo(result("aiag10x3x3", "range", "published", name), within(tolerance));
  }

  @ParameterizedTest
  @ValueSource(strings = {"aiag10x3x3", "cano3x3x3"})
  void byAnova(String study) {
    GaugeData data = study(study);
    GaugeByAnova full = GaugeByAnova.of(data, 1, 0.95);
    assertThat(full.pooled()).isFalse();
    anova(study, "SS_part", full.units().sum());
    anova(study, "SS_appraiser", full.appraisers().sum());
    anova(study, "SS_interaction", full.interaction().sum());
    anova(study, "SS_equipment", full.equipment().sum());
    anova(study, "df_equipment", full.equipment().freedom());
    anova(study, "p_interaction", full.interactionProbability());
    spread(study, "full", full.spread());
    GaugeByAnova pooled = GaugeByAnova.of(data, GaugeByAnova.POOL_ABOVE, 0.95);
    assertThat(pooled.pooled()).isTrue();
    spread(study, "pooled", pooled.spread());
  }

  private static void spread(String study, String model, GaugeSpread spread) {
    anova(study, model + "_EV", spread.repeatability());
    anova(study, model + "_AV", spread.reproducibility());
    anova(study, model + "_INT", spread.interaction());
    anova(study, model + "_GRR", spread.gauge());
    anova(study, model + "_PV", spread.unitVariation());
    anova(study, model + "_TV", spread.total());
    // The manual writes 1.41 for the root of 2.
    anova(study, model + "_ndc_raw", spread.distinctCategories() * 1.41 / Math.sqrt(2));
    anova(study, model + "_pct_study_GRR", 100 * spread.shareOfTotal());
  }

  private static void anova(String study, String name, double value) {
    double expected = result(study, "anova", "computed", name);
    assertThat(value).as(name).isCloseTo(expected, within(2e-9 * Math.max(1, expected)));
  }

  /** From memory in the file; every one agrees to its printed digits. */
  @Test
  void byAnovaAsPublished() {
    GaugeSpread spread = GaugeByAnova.of(study("aiag10x3x3"), 0.25, 0.95).spread();
    assertThat(spread.repeatability()).isCloseTo(published("pooled_EV"), within(5e-7));
    assertThat(spread.reproducibility()).isCloseTo(published("pooled_AV"), within(5e-7));
    assertThat(spread.gauge()).isCloseTo(published("pooled_GRR"), within(2e-6));
    assertThat(spread.unitVariation()).isCloseTo(published("pooled_PV"), within(5e-7));
  }

  private static double published(String name) {
    return result("aiag10x3x3", "anova", "published", name);
  }

  /**
   * NIST StRD AtmWtAg, seven constant leading digits: its two instruments are the units, the halves
   * of each series the appraisers.
   */
  @Test
  void theCertifiedSumsOfSquares() {
    List<GaugeData.Reading> readings = new ArrayList<>();
    for (CSVRecord row :
        Reference.rows(
            "nist_anova.csv", r -> r.get(0).equals("AtmWtAg") && r.get("kind").equals("obs"))) {
      String half = Integer.parseInt(row.get("i")) % 2 == 0 ? "even" : "odd";
      readings.add(
          new GaugeData.Reading(half, row.get("treatment"), Reference.number(row, "value")));
    }
    GaugeByAnova found = GaugeByAnova.of(GaugeData.of(readings), 1, 0.95);
    double between = Reference.value("nist_anova.csv", "AtmWtAg", "certified", "SS_between");
    double inside = Reference.value("nist_anova.csv", "AtmWtAg", "certified", "SS_within");
    // The values themselves are doubles near 108 that differ in their fifth decimal.
    assertThat(found.units().sum()).isCloseTo(between, within(1e-8 * between));
    assertThat(found.appraisers().sum() + found.interaction().sum() + found.equipment().sum())
        .isCloseTo(inside, within(1e-8 * inside));
  }

  @Test
  void theBoundsOfRepeatabilityAreThoseOfOneVariance() {
    GaugeByAnova found = GaugeByAnova.of(study("aiag10x3x3"), 1, 0.9);
    ChiSquaredDistribution chi = new ChiSquaredDistribution(60);
    double sum = found.equipment().sum();
    assertThat(found.repeatabilityBounds().low())
        .isCloseTo(Math.sqrt(sum / chi.inverseCumulativeProbability(0.95)), within(1e-9));
    assertThat(found.repeatabilityBounds().high())
        .isCloseTo(Math.sqrt(sum / chi.inverseCumulativeProbability(0.05)), within(1e-9));
  }

  /** The bounds hold the true values about as often as they say, whatever formula they are from. */
  @ParameterizedTest
  @ValueSource(doubles = {0, 0.3})
  void theBoundsHoldTheTruth(double crossed) {
    long seed = 42;
    Random random = new Random(seed);
    int runs = 1000;
    int gauge = 0;
    int units = 0;
    double truth = Math.sqrt(0.5 * 0.5 + 0.4 * 0.4 + crossed * crossed);
    for (int i = 0; i < runs; i++) {
      GaugeByAnova found = GaugeByAnova.of(drawn(random, crossed), 1, 0.9);
      gauge += found.gaugeBounds().contains(truth) ? 1 : 0;
      units += found.unitBounds().contains(1.5) ? 1 : 0;
    }
    assertThat(gauge / (double) runs).as("gauge, seed %d", seed).isBetween(0.87, 0.97);
    assertThat(units / (double) runs).as("units, seed %d", seed).isBetween(0.87, 0.97);
  }

  private static GaugeData drawn(Random random, double crossed) {
    double[] unit = random.doubles(8).map(x -> 1.5 * random.nextGaussian()).toArray();
    List<GaugeData.Reading> readings = new ArrayList<>();
    for (int a = 0; a < 4; a++) {
      double appraiser = 0.4 * random.nextGaussian();
      for (int u = 0; u < unit.length; u++) {
        double cell = unit[u] + appraiser + crossed * random.nextGaussian();
        for (int r = 0; r < 3; r++) {
          readings.add(new GaugeData.Reading("a" + a, "u" + u, cell + 0.5 * random.nextGaussian()));
        }
      }
    }
    return GaugeData.of(readings);
  }

  @Test
  void refusesAStudyWithHoles() {
    List<GaugeData.Reading> readings = new ArrayList<>();
    for (String appraiser : List.of("A", "B")) {
      for (String unit : List.of("1", "2")) {
        readings.add(new GaugeData.Reading(appraiser, unit, 1));
        readings.add(new GaugeData.Reading(appraiser, unit, 2));
      }
    }
    assertThat(GaugeData.of(readings).repeats()).isEqualTo(2);
    readings.remove(7);
    assertThatThrownBy(() -> GaugeData.of(readings)).hasMessageContaining("measured");
    assertThatThrownBy(() -> GaugeData.of(readings.subList(0, 4)))
        .hasMessageContaining("1 appraisers");
  }
}
