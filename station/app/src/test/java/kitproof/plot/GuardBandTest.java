package kitproof.plot;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Curve;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** The factor of 95 % on one side is 1.6449 (any table of the normal distribution). */
class GuardBandTest {
  private static final Curve CURVE =
      Curve.of(
          Unit.HERTZ, new double[] {10, 100, 1000, 9000}, Unit.DECIBEL, new double[] {0, 0, 0, 0});
  private static final Limit.Mask MASK =
      new Limit.Mask(
          List.of(
              new Limit.Point(
                  Quantity.of(20, Unit.HERTZ),
                  Quantity.of(-1, Unit.DECIBEL),
                  Quantity.of(1, Unit.DECIBEL)),
              new Limit.Point(
                  Quantity.of(2000, Unit.HERTZ),
                  Quantity.of(-3, Unit.DECIBEL),
                  Quantity.of(1, Unit.DECIBEL))));

  private static final Uncertainty KNOWN =
      Uncertainty.of(
          new double[] {0.1, 0.1, 0.2, 0.1},
          new double[] {0, 0, 0.3, 0},
          new double[] {1e9, 1e9, 1e9, 1e9},
          List.of());

  private static Judgement judgement(Judgement.Guard guard) {
    return new Judgement(Judgement.Outcome.PASS, MASK, "", guard);
  }

  @Test
  void eachPointIsGuardedByItsOwnUncertaintyWithinTheMask() {
    List<Curve> edges = GuardBand.of(CURVE, KNOWN, judgement(new Judgement.Guard(0.3, 0.3, 0.99)));
    assertThat(edges).hasSize(2);
    assertThat(edges.get(0).xs()).containsExactly(100, 1000);
    double limit = -1 - 2 * Math.log(5) / Math.log(100);
    assertThat(edges.get(0).y(0)).isCloseTo(limit + 1.6449 * 0.1, within(1e-4));
    assertThat(edges.get(1).y(0)).isCloseTo(1, within(1e-9));
    assertThat(edges.get(1).y(1)).isCloseTo(1 - 1.6449 * 0.3, within(1e-4));
  }

  @Test
  void aCurveThatWasNotGuardedHasNone() {
    assertThat(GuardBand.of(CURVE, KNOWN, judgement(null))).isEmpty();
    assertThat(GuardBand.of(CURVE, null, judgement(new Judgement.Guard(0, 0, 1)))).isEmpty();
  }

  @Test
  void theDrawingShowsWhereTheyEnd() {
    Plot plot =
        new Plot(
            "r",
            "",
            List.of(
                new Plot.Line(
                    "",
                    CURVE,
                    List.of(MASK),
                    GuardBand.of(CURVE, KNOWN, judgement(new Judgement.Guard(0.3, 0.3, 0.99))))));
    assertThat(Drawing.svg(List.of(plot))).contains("class=\"guard\"", "where the guard band ends");
  }
}
