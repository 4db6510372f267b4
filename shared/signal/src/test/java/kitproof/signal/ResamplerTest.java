package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A sine at the times of the other clock is its own closed form. */
class ResamplerTest {
  @ParameterizedTest
  @CsvSource({
    "1.0002, 0.01", "1.0002, 0.25", "1.0002, 0.45", "0.9998, 0.469", "1.0884353741, 0.3",
    "0.91875, 0.4", "2, 0.45", "0.5, 0.2", "0.5, 0.005", "1, 0.49"
  })
  void a_sine_comes_out_as_the_other_clock_would_have_sampled_it(double ratio, double ofRate) {
    double[] x = Signals.plus(Signals.sine(1, ofRate, 0.4, 1, 3000), 0.3);
    double[] y = Resampler.of(x, ratio);
    assertThat(y.length).isEqualTo((int) Math.floor(2999 * ratio + 1e-9) + 1);
    double worst = 0;
    int edge = (int) Math.ceil(Resampler.EDGE * Math.max(1, ratio));
    for (int m = edge; m < y.length - edge; m++) {
      double truth = 0.3 + Math.sin(2 * Math.PI * ofRate * m / ratio + 0.4);
      worst = Math.max(worst, Math.abs(y[m] - truth));
    }
    assertThat(worst).isLessThan(2e-6);
  }

  @Test
  void what_the_slower_clock_cannot_hold_is_taken_out() {
    double[] y = Resampler.of(Signals.sine(1, 0.29, 0.4, 1, 3000), 0.5);
    for (int m = Resampler.EDGE; m < y.length - Resampler.EDGE; m++) {
      assertThat(y[m]).isBetween(-2e-6, 2e-6);
    }
  }

  @Test
  void a_clock_that_stands_still_is_refused() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Resampler.of(new double[10], 0))
        .withMessageContaining("ratio");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Resampler.of(new double[10], 1e10))
        .withMessageContaining("too many");
  }
}
