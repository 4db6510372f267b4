package kitproof.procedure;

import static kitproof.procedure.FormulaBench.curve;
import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.Random;
import java.util.function.UnaryOperator;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import org.junit.jupiter.api.Test;

/** One channel against the other, in closed form. */
class ChannelProceduresTest {
  private static final String SETTINGS = "{power: 1 W, sweep: 1 s}";
  private final FormulaBench bench = new FormulaBench();
  private final Random random = new Random(3);

  private UnaryOperator<double[]> noisy(double gain, double rms) {
    return samples -> {
      for (int i = 0; i < samples.length; i++) {
        samples[i] = gain * samples[i] + rms * random.nextGaussian();
      }
      return samples;
    };
  }

  @Test
  void whatTheListeningChannelHearsIsRelativeToTheDrivenOne() throws Exception {
    bench.left = noisy(20, 1e-6);
    bench.right = noisy(10, 1e-6);
    bench.leak = 0.002;
    Map<String, Map<String, Figure>> figures = bench.measureBoth("crosstalk", SETTINGS);
    double expected = 20 * Math.log10(0.002);
    assertThat(number(figures.get("right").get("crosstalk at 1 kHz")))
        .isCloseTo(expected, within(0.05));
    assertThat(curve(figures.get("right").get("crosstalk")).ys())
        .usingComparatorWithPrecision(0.2)
        .containsOnly(expected);
    // Nothing leaks from right to left: what is told is where the noise stands, and so is said.
    assertThat(number(figures.get("left").get("crosstalk at 1 kHz"))).isLessThan(-90);
    assertThat(bench.notices)
        .hasSize(1)
        .allMatch(n -> n.startsWith("crosstalk (channel left) is below what is told at 20 Hz"));
  }

  @Test
  void crosstalkUnderTheNoiseIsABoundAboveTheTruth() throws Exception {
    bench.left = noisy(20, 0.02);
    bench.right = noisy(20, 0.02);
    bench.leak = 1e-5;
    Figure told = bench.measureBoth("crosstalk", SETTINGS).get("right").get("crosstalk at 1 kHz");
    assertThat(number(told)).isGreaterThan(-100);
    assertThat(bench.notices)
        .filteredOn(n -> n.startsWith("crosstalk"))
        .hasSize(2)
        .allMatch(n -> n.contains("noise and hum are the limit"));
    // In so much noise it cannot be known that the unit does not give more there: the safe side.
    assertThat(bench.notices)
        .filteredOn(n -> !n.startsWith("crosstalk"))
        .allMatch(n -> n.contains("below the stated power"));
  }

  @Test
  void theBalanceIsFirstLessSecondWithTheSameDrive() throws Exception {
    bench.left = noisy(20, 1e-6);
    bench.right = noisy(19, 1e-6);
    bench.conditions = Conditions.of("channel", "both");
    Map<String, Figure> figures = bench.measure("channel-balance", SETTINGS);
    double expected = 20 * Math.log10(20.0 / 19);
    assertThat(number(figures.get("channel balance at 1 kHz"))).isCloseTo(expected, within(1e-3));
    assertThat(curve(figures.get("channel balance")).ys())
        .usingComparatorWithPrecision(0.01)
        .containsOnly(expected);
  }

  @Test
  void theyNeedBothChannels() throws Exception {
    bench.conditions = Conditions.of("channel", "left");
    for (String procedure : new String[] {"crosstalk", "channel-balance"}) {
      assertThat(bench.measure(procedure, SETTINGS).values())
          .allSatisfy(f -> assertThat(reason(f)).contains("under channel both"));
    }
  }

  @Test
  void aDeadChannelIsTold() throws Exception {
    bench.right = noisy(0, 0);
    Map<String, Map<String, Figure>> crosstalk = bench.measureBoth("crosstalk", SETTINGS);
    assertThat(reason(crosstalk.get("left").get("crosstalk"))).contains("is not reached");
    assertThat(number(crosstalk.get("right").get("crosstalk at 1 kHz"))).isLessThan(-200);
    assertThat(reason(bench.measure("channel-balance", SETTINGS).get("channel balance")))
        .contains("is not reached");
  }
}
