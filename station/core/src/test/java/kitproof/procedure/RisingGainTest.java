package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Units whose gain rises with level are not driven beyond what a plan allows. */
class RisingGainTest {
  private static final double GAIN = 20;

  /** Closed form: y = 20x + 20k·x³ has a fundamental of 20A·(1 + 3/4·k·A²). */
  private static double fundamental(double peak, double cube) {
    return GAIN * peak * (1 + 0.75 * cube * peak * peak);
  }

  @Test
  void theDriveForAnOutputIsThatOfTheCube() {
    RisingGain gain = new RisingGain();
    gain.take(0.1, fundamental(0.1, 0.5));
    gain.take(0.4, fundamental(0.4, 0.5));
    assertThat(gain.driveFor(fundamental(0.9, 0.5))).isCloseTo(0.9, within(1e-9));
    assertThat(gain.driveFor(fundamental(0.4, 0.5) / 2)).isCloseTo(0.2, within(1e-9));
  }

  @Test
  void aFallingGainIsTakenToStay() {
    RisingGain gain = new RisingGain();
    gain.take(0.1, fundamental(0.1, -0.5));
    gain.take(0.4, fundamental(0.4, -0.5));
    double output = fundamental(0.4, -0.5);
    assertThat(gain.driveFor(2 * output)).isCloseTo(0.8, within(1e-12));
  }

  /**
   * 10 W in 8 ohm are 12.65 V peak, a drive of some 0.6 V, where the gain has risen by 3 to 17 %.
   */
  @ParameterizedTest
  @ValueSource(doubles = {0.1, 0.3, 0.6})
  void neitherLevellingNorStairsGoBeyondTheStatedPower(double cube) throws Exception {
    FormulaBench bench = new FormulaBench();
    double[] highest = {0};
    bench.left =
        samples -> {
          highest[0] = Math.max(highest[0], Arrays.stream(samples).map(Math::abs).max().orElse(0));
          return FormulaBench.curve(x -> GAIN * x * (1 + cube * x * x)).apply(samples);
        };
    double allowed = Math.sqrt(2 * 10 * 8);
    bench.measure("gain", "power: 10 W\n");
    assertThat(fundamental(highest[0], cube)).isBetween(0.998 * allowed, 1.0001 * allowed);
    highest[0] = 0;
    assertThat(
            number(
                bench
                    .measure("distortion-against-power", "{powers: 10 mW..10 W, rated: 5 W}")
                    .get("input sensitivity")))
        .isPositive();
    assertThat(fundamental(highest[0], cube)).isBetween(0.98 * allowed, 1.0001 * allowed);
  }
}
