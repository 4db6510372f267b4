package kitproof.limit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import kitproof.limit.Judgement.Outcome;
import kitproof.value.Curve;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class MaskJudgeTest {
  private static Limit.Point point(double hertz, @Nullable Double low, @Nullable Double high) {
    return new Limit.Point(Quantity.of(hertz, Unit.HERTZ), decibel(low), decibel(high));
  }

  private static @Nullable Quantity decibel(@Nullable Double value) {
    return value == null ? null : Quantity.of(value, Unit.DECIBEL);
  }

  private static Curve curve(double... xy) {
    return curve(Unit.HERTZ, Unit.DECIBEL, xy);
  }

  private static Curve curve(Unit xUnit, Unit yUnit, double... xy) {
    double[] x = IntStream.range(0, xy.length / 2).mapToDouble(i -> xy[2 * i]).toArray();
    double[] y = IntStream.range(0, xy.length / 2).mapToDouble(i -> xy[2 * i + 1]).toArray();
    return Curve.of(xUnit, x, yUnit, y);
  }

  private static final Limit.Mask FLAT =
      new Limit.Mask(List.of(point(20, -1.0, 0.5), point(20_000, -1.0, 0.5)));

  private static Judgement judge(Curve curve, Limit.Mask mask) {
    return MaskJudge.judge(curve, mask, Acceptance.SIMPLE, null);
  }

  @Test
  void theWorstPlaceIsNamed() {
    Curve drooping = curve(10, 0, 20, -1.2, 31.5, -1.4, 1000, 0, 20_000, 0.7, 40_000, 9);
    assertThat(judge(drooping, FLAT))
        .isEqualTo(
            new Judgement(
                Outcome.FAIL, FLAT, "at 31.5 Hz -1.4 dB is below -1 dB, worst by 0.4 dB"));
    assertThat(judge(curve(20, 0, 1000, 1.25, 20_000, -1.5), FLAT).detail())
        .isEqualTo("at 1 kHz 1.25 dB is above 0.5 dB, worst by 0.75 dB");
  }

  @Test
  void aCurveOnTheMaskIsInsideAndTheNearestPlaceIsNamed() {
    Curve touching = curve(20, -1, 1000, 0, 20_000, 0.25);
    assertThat(judge(touching, FLAT))
        .isEqualTo(new Judgement(Outcome.PASS, FLAT, "nearest at 20 Hz, 0 dB above the low side"));
  }

  @Test
  void whatLiesBeyondTheMaskIsNotJudged() {
    assertThat(judge(curve(10, -9, 20, 0, 20_000, 0, 40_000, -9), FLAT).outcome())
        .isEqualTo(Outcome.PASS);
  }

  @Test
  void straightLinesAreDrawnOnALogarithmicFrequencyAxis() {
    // from 0 dB at 100 Hz to -2 dB at 10 kHz the line passes -1 dB at 1 kHz, its middle in decades
    Limit.Mask slope = new Limit.Mask(List.of(point(100, 0.0, null), point(10_000, -2.0, null)));
    assertThat(judge(curve(100, 5, 1000, -0.999, 10_000, 5), slope).outcome())
        .isEqualTo(Outcome.PASS);
    assertThat(judge(curve(100, 5, 1000, -1.001, 10_000, 5), slope).detail())
        .isEqualTo("at 1 kHz -1.001 dB is below -1 dB, worst by 0.001 dB");
  }

  @Test
  void straightLinesAreDrawnOnALinearTimeAxis() {
    Limit.Mask rise =
        new Limit.Mask(
            List.of(
                new Limit.Point(Quantity.of(0, Unit.SECOND), Quantity.of(0, Unit.VOLT), null),
                new Limit.Point(Quantity.of(10, Unit.SECOND), Quantity.of(100, Unit.VOLT), null)));
    assertThat(judge(curve(Unit.SECOND, Unit.VOLT, 0, 500, 5, 50.1, 10, 500), rise).outcome())
        .isEqualTo(Outcome.PASS);
    assertThat(judge(curve(Unit.SECOND, Unit.VOLT, 0, 500, 5, 49, 10, 500), rise).detail())
        .isEqualTo("at 5 s 49 V is below 50 V, worst by 1 V");
  }

  @Test
  void aCornerBetweenTwoPointsOfTheCurveIsSeen() {
    Limit.Mask notch =
        new Limit.Mask(
            List.of(point(10, null, 9.0), point(100, null, 1.0), point(1000, null, 9.0)));
    assertThat(judge(curve(10, 2, 1000, 2), notch).detail())
        .isEqualTo("at 100 Hz 2 dB is above 1 dB, worst by 1 dB");
  }

  @Test
  void aSideHoldsBetweenCornersThatHaveItAndAtACornerThatHasIt() {
    Limit.Mask part =
        new Limit.Mask(
            List.of(
                point(10, null, 9.0),
                point(100, -1.0, 9.0),
                point(1000, -1.0, 9.0),
                point(10_000, null, 9.0)));
    assertThat(judge(curve(10, -5, 99, -5, 100, 0, 1000, 0, 1001, -5, 10_000, -5), part).outcome())
        .isEqualTo(Outcome.PASS);
    assertThat(judge(curve(10, 0, 100, 0, 300, -5, 1000, 0, 10_000, 0), part).outcome())
        .isEqualTo(Outcome.FAIL);
    Limit.Mask alone =
        new Limit.Mask(
            List.of(point(10, null, 9.0), point(100, -1.0, null), point(1000, null, 9.0)));
    assertThat(judge(curve(10, 0, 100, -2, 1000, 0), alone).outcome()).isEqualTo(Outcome.FAIL);
  }

  @ParameterizedTest
  @CsvSource({
    "21, 20000, 'the curve begins at 21 Hz after the mask''s 20 Hz'",
    "20.00001, 20000, 'the curve begins at 20.00001 Hz after the mask''s 20 Hz'",
    "20, 19000, 'the curve ends at 19 kHz before the mask''s 20 kHz'",
  })
  void aCurveThatDoesNotCoverTheMaskFails(double from, double to, String detail) {
    Judgement judgement = judge(curve(from, 0, to, 0), FLAT);
    assertThat(judgement.outcome()).isEqualTo(Outcome.FAIL);
    assertThat(judgement.detail()).isEqualTo(detail);
  }

  @Test
  void aHairOfRoundingAtTheEndsIsNoGap() {
    assertThat(judge(curve(20 * (1 + 1e-12), 0, 20_000 * (1 - 1e-12), 0), FLAT).outcome())
        .isEqualTo(Outcome.PASS);
    assertThat(judge(curve(20 * (1 + 1e-12), 9, 20_000 * (1 - 1e-12), 0), FLAT).outcome())
        .isEqualTo(Outcome.FAIL);
  }

  @Test
  void curvesWithoutPointsOrInOtherUnitsNeverPass() {
    assertThat(judge(curve(), FLAT).detail()).isEqualTo("the curve has no points");
    assertThat(judge(curve(Unit.SECOND, Unit.DECIBEL, 20, 0, 20_000, 0), FLAT))
        .isEqualTo(
            new Judgement(
                Outcome.FAIL, FLAT, "along the curve the limit is in Hz, the result in s"));
    assertThat(judge(curve(Unit.HERTZ, Unit.VOLT, 20, 0, 20_000, 0), FLAT).detail())
        .isEqualTo("the limit is in dB, the result in V");
    assertThat(judge(curve(), FLAT).outcome()).isEqualTo(Outcome.FAIL);
  }

  @Test
  void aMaskAlongPowerIsStraightOnALogarithmicAxis() {
    Limit.Mask rising =
        new Limit.Mask(
            List.of(
                new Limit.Point(Quantity.of(0.1, Unit.WATT), null, Quantity.of(0, Unit.PERCENT)),
                new Limit.Point(Quantity.of(10, Unit.WATT), null, Quantity.of(2, Unit.PERCENT))));
    assertThat(judge(curve(Unit.WATT, Unit.PERCENT, 0.1, 0, 1, 0.99, 10, 1), rising).outcome())
        .isEqualTo(Outcome.PASS);
    assertThat(judge(curve(Unit.WATT, Unit.PERCENT, 0.1, 0, 1, 1.01, 10, 1), rising).detail())
        .isEqualTo("at 1 W 1.01 % is above 1 %, worst by 0.01 %");
  }

  /** A curve and the high side of a mask, both against the decades of the frequency. */
  private static final class Drawing {
    final double[] curveX;
    final double[] curveY;
    final double[] maskX;
    final double[] high;

    Drawing(long seed) {
      Random random = new Random(seed);
      curveX = decades(random, 3 + random.nextInt(30), 0.5, 4.5);
      maskX = decades(random, 2 + random.nextInt(6), 1, 4);
      curveY = random.doubles(curveX.length, -1, 1).toArray();
      high = random.doubles(maskX.length, 0.5, 1.5).toArray();
    }

    Judgement judgement() {
      double[] hertz = Arrays.stream(curveX).map(x -> Math.pow(10, x)).toArray();
      List<Limit.Point> corners =
          IntStream.range(0, maskX.length)
              .mapToObj(i -> point(Math.pow(10, maskX[i]), null, high[i]))
              .toList();
      return judge(Curve.of(Unit.HERTZ, hertz, Unit.DECIBEL, curveY), new Limit.Mask(corners));
    }
  }

  /** Lines drawn again, point by point on a fine grid, with no knowledge of where to look. */
  @ParameterizedTest(name = "seed {0}")
  @MethodSource("seeds")
  void aFineGridFindsNothingWorseThanTheJudge(long seed) {
    Drawing drawing = new Drawing(seed);
    double[] maskX = drawing.maskX;
    double worst = Double.NEGATIVE_INFINITY;
    int steps = 20_000;
    for (int i = 0; i <= steps; i++) {
      double x = maskX[0] + (maskX[maskX.length - 1] - maskX[0]) * i / steps;
      double y = drawn(drawing.curveX, drawing.curveY, x);
      worst = Math.max(worst, y - drawn(maskX, drawing.high, x));
    }
    Judgement judgement = drawing.judgement();
    String by = judgement.detail().replaceAll(".*?([0-9.]+) dB( below the high side)?$", "$1");
    // the grid is 1.5e-4 decades wide and lines change no faster than 2 dB in 0.025 decades, which
    // makes 0.012 dB; decibels are shown with three places
    assertThat(Double.parseDouble(by)).isCloseTo(Math.abs(worst), within(0.015));
    assertThat(Math.abs(worst)).as("far enough from the edge to tell").isGreaterThan(1e-4);
    assertThat(judgement.outcome()).isEqualTo(worst > 0 ? Outcome.FAIL : Outcome.PASS);
  }

  @Test
  void bothOutcomesOccurAmongTheDrawings() {
    assertThat(seeds().mapToObj(seed -> new Drawing(seed).judgement().outcome()))
        .contains(Outcome.PASS, Outcome.FAIL);
  }

  static IntStream seeds() {
    return IntStream.range(0, 60);
  }

  private static double[] decades(Random random, int count, double from, double to) {
    double step = (to - from) / (count - 1);
    return IntStream.range(0, count)
        .mapToDouble(
            i -> {
              boolean end = i == 0 || i == count - 1;
              return from + step * (end ? i : i + 0.4 * (random.nextDouble() * 2 - 1));
            })
        .toArray();
  }

  private static double drawn(double[] xs, double[] ys, double x) {
    int right = 1;
    while (right < xs.length - 1 && xs[right] < x) {
      right++;
    }
    double share = (x - xs[right - 1]) / (xs[right] - xs[right - 1]);
    return ys[right - 1] * (1 - share) + ys[right] * share;
  }
}
