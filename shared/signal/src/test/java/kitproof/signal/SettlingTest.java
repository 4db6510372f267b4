package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class SettlingTest {
  private static double[] seconds(int count) {
    double[] seconds = new double[count];
    for (int i = 0; i < count; i++) {
      seconds[i] = 0.5 * i;
    }
    return seconds;
  }

  @Test
  void a_rail_that_charges_settles_when_it_stays_within_the_tolerance() {
    double[] seconds = seconds(200);
    double[] volts = new double[200];
    for (int i = 0; i < 200; i++) {
      volts[i] = 330 * (1 - Math.exp(-seconds[i] / 4));
    }
    Settling settling = Settling.of(seconds, volts, 3.3);
    assertThat(settling.finalSpread().mean()).isCloseTo(330, within(0.001));
    // 1 % is left after 4·ln 100 = 18.42 s; the next reading is at 18.5 s.
    assertThat(settling.settledSeconds()).hasValue(18.5);
  }

  @Test
  void a_value_that_still_moves_or_swings_has_not_settled() {
    double[] rising = seconds(40);
    assertThat(Settling.of(seconds(40), rising, 0.5).settledSeconds()).isEmpty();
    double[] swinging = new double[40];
    for (int i = 0; i < 40; i++) {
      swinging[i] = Math.sin(i * 0.7);
    }
    assertThat(Settling.of(seconds(40), swinging, 0.5).settledSeconds()).isEmpty();
  }

  @Test
  void what_was_at_rest_from_the_start_has_settled_at_once() {
    assertThat(Settling.of(seconds(4), new double[] {5, 5, 5, 5}, 0.1).settledSeconds())
        .hasValue(0);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Settling.of(seconds(1), new double[1], 0.1))
        .withMessageContaining("1 samples");
  }

  @Test
  void spread_is_mean_and_sample_deviation() {
    // 2, 4, 4, 4, 5, 5, 7, 9: squares about the mean 5 add up to 32 (worked by hand).
    Spread spread = Spread.of(new double[] {2, 4, 4, 4, 5, 5, 7, 9});
    assertThat(spread.count()).isEqualTo(8);
    assertThat(spread.mean()).isEqualTo(5);
    assertThat(spread.standardDeviation()).isCloseTo(Math.sqrt(32 / 7.0), within(1e-15));
    assertThat(spread.min()).isEqualTo(2);
    assertThat(spread.max()).isEqualTo(9);
    assertThat(Spread.of(new double[] {3}).standardDeviation()).isZero();
    assertThatIllegalArgumentException().isThrownBy(() -> Spread.of(new double[0]));
  }
}
