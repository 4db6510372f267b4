package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class PolarityTest {
  private static final Band MIDDLE = new Band(300, 3000);
  private final Sweep sweep = Sweep.synchronised(20, 20e3, 1, 48e3);

  private FrequencyResponse of(double gain, int delay) {
    double[] played = sweep.samples(1);
    double[] captured = new double[played.length + 4800];
    for (int n = 0; n < played.length; n++) {
      captured[n + delay] = gain * played[n];
    }
    return SweepAnalysis.response(sweep, 1, captured).linear();
  }

  @Test
  void what_is_turned_over_is_told_from_what_is_not() {
    assertThat(Polarity.of(of(20, 0), MIDDLE)).contains(Polarity.KEPT);
    assertThat(Polarity.of(of(-0.1, 0), MIDDLE)).contains(Polarity.INVERTED);
  }

  @Test
  void a_delay_makes_it_ambiguous_until_it_is_taken_out() {
    FrequencyResponse late = of(-1, 24); // half a millisecond: half a turn at 1 kHz
    assertThat(Polarity.of(late, MIDDLE)).isEmpty();
    assertThat(Polarity.of(late.withoutDelay(24 / 48e3), MIDDLE)).contains(Polarity.INVERTED);
  }
}
