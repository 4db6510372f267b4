package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Steps that drive and measure all channels in the same exchange. */
class BothChannelsTest {
  private final FormulaBench bench = new FormulaBench();

  @Test
  void eachChannelIsLevelledIntoItsOwnLoadAndToldUnderItsOwnName() throws Exception {
    List<Double> leftPeaks = new ArrayList<>();
    List<Double> rightPeaks = new ArrayList<>();
    bench.left = keeping(leftPeaks, x -> 20 * x);
    bench.right = keeping(rightPeaks, x -> -7 * x);
    bench.rightLoad = Quantity.of(4, Unit.OHM);
    Map<String, Map<String, Figure>> figures = bench.measureBoth("gain", "power: 1 W\n");

    assertThat(number(figures.get("left").get("gain")))
        .isCloseTo(20 * Math.log10(20), within(1e-6));
    assertThat(number(figures.get("right").get("gain")))
        .isCloseTo(20 * Math.log10(7), within(1e-6));
    // 1 W: 2.828 V in 8 ohm, 2 V in 4 ohm; in one exchange, so as many of one as of the other.
    assertThat(last(leftPeaks)).isCloseTo(4.0, within(0.005));
    assertThat(last(rightPeaks)).isCloseTo(2 * Math.sqrt(2), within(0.004));
    assertThat(leftPeaks).hasSameSizeAs(rightPeaks);
    assertThat(leftPeaks).allMatch(peak -> peak < 4.0001);
    assertThat(rightPeaks).allMatch(peak -> peak < 2.8285);
  }

  private static java.util.function.UnaryOperator<double[]> keeping(
      List<Double> peaks, java.util.function.DoubleUnaryOperator formula) {
    return samples -> {
      double[] out = FormulaBench.curve(formula).apply(samples);
      double most = 0;
      for (double volts : out) {
        most = Math.max(most, Math.abs(volts));
      }
      peaks.add(most);
      return out;
    };
  }

  private static double last(List<Double> values) {
    return values.get(values.size() - 1);
  }

  @Test
  void distortionAndResponseOfBothAreThoseOfEachAlone() throws Exception {
    bench.left = FormulaBench.curve(x -> 20 * x + x * x);
    bench.right = FormulaBench.curve(x -> 10 * x + 3 * x * x * x);
    for (String procedure : List.of("distortion", "frequency-response")) {
      String settings =
          procedure.equals("distortion")
              ? "{power: 1 W, harmonics: 3, listen: 100 ms}"
              : "{power: 1 W, band: 20 Hz..20 kHz, sweep: 1 s}";
      Map<String, Map<String, Figure>> both = bench.measureBoth(procedure, settings);
      for (String channel : List.of("left", "right")) {
        bench.conditions = kitproof.value.Conditions.of("channel", channel);
        assertThat(both.get(channel)).isEqualTo(bench.measure(procedure, settings));
      }
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"gain", "distortion"})
  void aChannelThatCannotBeMeasuredLeavesTheOtherItsFigures(String procedure) throws Exception {
    bench.left = FormulaBench.curve(x -> 0);
    bench.right = FormulaBench.curve(x -> 20 * x + x * x);
    Map<String, Map<String, Figure>> figures = bench.measureBoth(procedure, "power: 1 W\n");
    assertThat(figures.get("left").values())
        .isNotEmpty()
        .allSatisfy(figure -> assertThat(reason(figure)).contains("the output is nothing"));
    assertThat(figures.get("right").values())
        .filteredOn(figure -> figure instanceof Figure.OfQuantity)
        .isNotEmpty();
  }

  @Test
  void onlyTheChannelThatReachedFullScaleLosesItsFigures() throws Exception {
    bench.inputPeak = 4.2;
    bench.left = FormulaBench.curve(x -> 20 * x + (x > 0.05 ? 4.2 : 0));
    bench.right = FormulaBench.curve(x -> 20 * x);
    Map<String, Map<String, Figure>> figures = bench.measureBoth("gain", "power: 0.5 W\n");
    assertThat(reason(figures.get("left").get("gain"))).isEqualTo("the capture reached full scale");
    assertThat(number(figures.get("right").get("gain"))).isCloseTo(26.02, within(0.01));
  }
}
