package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** Drift with time, and one drift less another. */
class DriftTest {
  /**
   * A line by hand: y = 1, 3, 2, 6 at x = 0, 1, 2, 3 has the slope 1.4; the residuals' squares sum
   * to 4.2, so that the slope's deviation is √(4.2/2/5). Student's t of 2 degrees of freedom at
   * 97.5 % is 4.302 65 (any table).
   */
  @Test
  void ofALineByHand() {
    Drift drift = Drift.of(new double[] {0, 1, 2, 3}, new double[] {1, 3, 2, 6});
    assertThat(drift.slope()).isCloseTo(1.4, within(1e-12));
    assertThat(drift.error()).isCloseTo(Math.sqrt(4.2 / 2 / 5), within(1e-12));
    assertThat(drift.freedom()).isEqualTo(2);
    Interval bounds = drift.bounds(0.95);
    assertThat(bounds.high() - 1.4).isCloseTo(4.30265 * drift.error(), within(1e-5));
    assertThat(1.4 - bounds.low()).isCloseTo(4.30265 * drift.error(), within(1e-5));
    Drift perHour = drift.times(1 / 24.0);
    assertThat(perHour.slope()).isCloseTo(1.4 / 24, within(1e-12));
    assertThat(perHour.probability()).isCloseTo(drift.probability(), within(1e-12));
  }

  /** The bounds of a difference hold the truth about as often as they say. */
  @Test
  void theBoundsOfADifferenceHoldTheTruth() {
    long seed = 5;
    Random random = new Random(seed);
    int runs = 2000;
    int held = 0;
    int seen = 0;
    for (int i = 0; i < runs; i++) {
      Drift units = drawn(random, 12, 0.30, 0.5);
      Drift station = drawn(random, 6, 0.25, 0.2);
      Drift left = units.less(station);
      held += left.bounds(0.9).contains(0.05) ? 1 : 0;
      seen += left.probability() < 0.1 ? 1 : 0;
    }
    assertThat(held / (double) runs).as("seed %d", seed).isBetween(0.88, 0.93);
    assertThat(seen).as("a bound without 0 is a probability below 0.1").isBetween(1, runs);
  }

  private static Drift drawn(Random random, int count, double slope, double spread) {
    double[] times = IntStream.range(0, count).mapToDouble(i -> i * 10.0 / (count - 1)).toArray();
    double[] values =
        IntStream.range(0, count)
            .mapToDouble(i -> slope * times[i] + spread * random.nextGaussian())
            .toArray();
    return Drift.of(times, values);
  }

  @Test
  void theSameDriftOfBothLeavesNothing() {
    double[] times = {0, 1, 2, 3, 4};
    double[] values = {0, 1, 2, 3, 4};
    Drift left = Drift.of(times, values).less(Drift.of(times, values));
    assertThat(left.slope()).isCloseTo(0, within(1e-12));
    assertThat(left.bounds(0.95).contains(0)).isTrue();
  }
}
