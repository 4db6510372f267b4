package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import kitproof.limit.statistics.GaugeAbility.Grade;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Bounds of all that a gauge study tells, and what follows from it for a limit. */
class GaugeBoundsTest {
  /** Studies drawn with known components: the bounds hold the truth about as often as they say. */
  @ParameterizedTest
  @ValueSource(doubles = {0, 0.5})
  void theBoundsHoldTheTruth(double crossed) {
    long seed = 7;
    Random random = new Random(seed);
    int runs = 400;
    GaugeSpread truth = new GaugeSpread(0.5, 0.4, crossed, 1.5);
    int reproducibility = 0;
    int interaction = 0;
    int share = 0;
    int categories = 0;
    for (int i = 0; i < runs; i++) {
      GaugeData data = drawn(random, truth);
      GaugeBounds found = GaugeBounds.of(GaugeByAnova.of(data, 1, 0.9), data, 0.9, 600);
      reproducibility += found.reproducibility().contains(truth.reproducibility()) ? 1 : 0;
      interaction += found.interaction().contains(truth.interaction()) ? 1 : 0;
      share += found.shareOfTotal().contains(truth.shareOfTotal()) ? 1 : 0;
      categories += found.distinctCategories().contains(truth.distinctCategories()) ? 1 : 0;
    }
    // Of 400 the standard deviation is 1.5 %; the method is on the safe side near zero.
    assertThat(reproducibility / (double) runs).as("seed %d", seed).isBetween(0.85, 0.985);
    assertThat(share / (double) runs).as("seed %d", seed).isBetween(0.85, 0.97);
    assertThat(categories / (double) runs).as("seed %d", seed).isBetween(0.85, 0.97);
    assertThat(interaction / (double) runs).as("seed %d", seed).isBetween(0.85, 1.0);
  }

  private static GaugeData drawn(Random random, GaugeSpread spread) {
    double[] unit =
        random.doubles(10).map(x -> spread.unitVariation() * random.nextGaussian()).toArray();
    List<GaugeData.Reading> readings = new ArrayList<>();
    for (int a = 0; a < 5; a++) {
      double appraiser = spread.reproducibility() * random.nextGaussian();
      for (int u = 0; u < unit.length; u++) {
        double cell = unit[u] + appraiser + spread.interaction() * random.nextGaussian();
        for (int r = 0; r < 3; r++) {
          double value = cell + spread.repeatability() * random.nextGaussian();
          readings.add(new GaugeData.Reading("a" + a, "u" + u, value));
        }
      }
    }
    return GaugeData.of(readings);
  }

  private static GaugeData published(String study) {
    return GaugeData.of(
        Reference.rows("grr_data.csv", r -> r.get("study").equals(study)).stream()
            .map(
                r ->
                    new GaugeData.Reading(
                        r.get("appraiser"), r.get("part"), Reference.number(r, "y")))
            .toList());
  }

  /**
   * Cano, Moguerza and Redchuk (2012), example of chapter 5, as the book prints it; its interaction
   * is pooled. The estimates stand inside the bounds.
   */
  @Test
  void theSecondPublishedStudy() {
    GaugeData data = published("cano3x3x3");
    GaugeByAnova found = GaugeByAnova.of(data, GaugeByAnova.POOL_ABOVE, 0.95);
    GaugeSpread spread = found.spread();
    assertThat(spread.gauge()).isCloseTo(book("pooled_GRR"), within(5e-8));
    assertThat(spread.repeatability()).isCloseTo(book("pooled_EV"), within(5e-8));
    assertThat(spread.reproducibility()).isCloseTo(book("pooled_AV"), within(5e-8));
    assertThat(spread.unitVariation()).isCloseTo(book("pooled_PV"), within(5e-8));
    assertThat(spread.total()).isCloseTo(book("pooled_TV"), within(5e-8));
    assertThat((int) spread.distinctCategories()).isEqualTo((int) book("ndc_int"));
    GaugeBounds bounds = GaugeBounds.of(found, data, 0.95);
    assertThat(bounds.shareOfTotal().contains(spread.shareOfTotal())).isTrue();
    assertThat(bounds.distinctCategories().contains(spread.distinctCategories())).isTrue();
    assertThat(bounds.interaction().high()).as("pooled").isZero();
    assertThat(GaugeBounds.of(found, data, 0.95)).as("the draws are seeded").isEqualTo(bounds);
  }

  private static double book(String name) {
    List<CSVRecord> rows =
        Reference.rows(
            "grr_results.csv",
            r ->
                r.get("study").equals("cano3x3x3")
                    && r.get("kind").equals("published")
                    && r.get("name").equals(name));
    assertThat(rows).as(name).hasSize(1);
    return Reference.number(rows.get(0), "value");
  }

  @ParameterizedTest
  @CsvSource({"0.6, ABLE, 0.06", "1.9, WITH_A_GUARD_BAND, 0.19", "3.1, UNABLE, 0.31"})
  void aLimitIsGradedByTheGaugesPartOfTheTolerance(double six, Grade grade, double share) {
    GaugeSpread spread = new GaugeSpread(six / 6, 0, 0, 1);
    Interval bounds = new Interval(six / 12, six / 3);
    GaugeAbility two = GaugeAbility.of(spread, bounds, 0, -5.0, 5.0);
    assertThat(two.grade()).isEqualTo(grade);
    assertThat(two.share()).isCloseTo(share, within(1e-12));
    assertThat(two.shareBounds()).isNotNull();
    assertThat(two.shareBounds().low()).isCloseTo(six / 2 / 10, within(1e-12));
    assertThat(two.shareBounds().high()).isCloseTo(2 * six / 10, within(1e-12));
    assertThat(GaugeAbility.of(spread, bounds, 0, null, 5.0).share())
        .as("twice the way from the mean")
        .isCloseTo(share, within(1e-12));
    assertThat(GaugeAbility.of(spread, bounds, 3, -2.0, null).share())
        .isCloseTo(share, within(1e-12));
  }

  @Test
  void unitsBeyondTheLimitTellNothingOfIt() {
    GaugeAbility open =
        GaugeAbility.of(new GaugeSpread(1, 0, 0, 1), new Interval(0.5, 2), 6, null, 5.0);
    assertThat(open.grade()).isEqualTo(Grade.OPEN);
    assertThat(open.share()).isNaN();
  }

  /** Against drawing units and readings. */
  @Test
  void theRisksAreThoseOfUnitsLikeThese() {
    GaugeSpread spread = new GaugeSpread(0.3, 0.2, 0.1, 1);
    GaugeAbility found = GaugeAbility.of(spread, new Interval(0.2, 0.6), 0.5, -1.5, 2.0);
    Random random = new Random(3);
    int falseAccept = 0;
    int falseReject = 0;
    int all = 400_000;
    for (int i = 0; i < all; i++) {
      double truth = 0.5 + random.nextGaussian();
      double read = truth + spread.gauge() * random.nextGaussian();
      boolean good = truth >= -1.5 && truth <= 2;
      boolean accepted = read >= -1.5 && read <= 2;
      falseAccept += accepted && !good ? 1 : 0;
      falseReject += good && !accepted ? 1 : 0;
    }
    assertThat(found.risks()).isNotNull();
    assertThat(found.risks().falseAccept()).isCloseTo(falseAccept / (double) all, within(6e-4));
    assertThat(found.risks().falseReject()).isCloseTo(falseReject / (double) all, within(6e-4));
  }
}
