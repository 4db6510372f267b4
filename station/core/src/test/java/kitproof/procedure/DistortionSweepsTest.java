package kitproof.procedure;

import static kitproof.procedure.FormulaBench.curve;
import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.Random;
import java.util.function.UnaryOperator;
import kitproof.value.Curve;
import kitproof.value.Figure;
import org.junit.jupiter.api.Test;

/** Distortion against power and against frequency, of amplifiers in closed form. */
class DistortionSweepsTest {
  private static final double GAIN = 20;

  private final FormulaBench bench = new FormulaBench();
  private double loudest;

  private UnaryOperator<double[]> watched(UnaryOperator<double[]> amplifier) {
    return samples -> {
      double[] out = amplifier.apply(samples);
      for (double volts : out) {
        loudest = Math.max(loudest, Math.abs(volts));
      }
      return out;
    };
  }

  /** y = 20·x·(1 - k·x²): a third harmonic of a quarter of k·x² relative to the fundamental. */
  private static final double CUBIC = 0.3;

  private static double cubic(double x) {
    return GAIN * x * (1 - CUBIC * x * x);
  }

  /** Closed form: fundamental 20·A·(1 - 3/4·k·A²), third harmonic 20·k·A³/4. */
  @Test
  void theCubicsThirdHarmonicAndTransferAreTheirClosedForm() throws Exception {
    bench.left = watched(FormulaBench.curve(DistortionSweepsTest::cubic));
    Map<String, Figure> figures =
        bench.measure(
            "distortion-against-power",
            "{powers: 10 mW..2 W, rated: 1 W, until: 50 %, harmonics: 3}");
    Curve thd = curve(figures.get("thd against power"));
    Curve third = curve(figures.get("harmonic 3 against power"));
    Curve input = curve(figures.get("input voltage against power"));
    assertThat(thd.size()).isGreaterThan(15);
    for (int i = 0; i < thd.size(); i++) {
      double a = input.y(i) * Math.sqrt(2);
      double fundamental = GAIN * a * (1 - 0.75 * CUBIC * a * a);
      double ratio = GAIN * CUBIC * a * a * a / 4 / fundamental;
      assertThat(thd.x(i)).isCloseTo(fundamental * fundamental / 16, within(1e-6 * thd.x(i)));
      assertThat(thd.y(i)).isCloseTo(100 * ratio, within(1e-5 + 1e-6 * ratio));
      if (ratio > 1e-5) {
        assertThat(third.y(i)).isCloseTo(20 * Math.log10(ratio), within(1e-3));
      }
    }
    assertThat(thd.x(thd.size() - 1)).isCloseTo(2, within(0.03));
    assertThat(loudest).isLessThan(Math.sqrt(2 * 8 * 2) * 1.02);
    // 1 W in 8 ohm is 4 V peak: a·(1 - 0.225·a²) = 0.2 gives a = 0.20187.
    assertThat(number(figures.get("input sensitivity")))
        .isCloseTo(0.20187 / Math.sqrt(2), within(0.0001));
  }

  /** Beyond its rails the unit clips hard: the climb ends there and never passes the maximum. */
  @Test
  void theClimbStopsAtItsCriterionAndFindsThePowersAtOneAndThreePercent() throws Exception {
    double rail = 12;
    bench.left = watched(FormulaBench.curve(x -> Math.max(-rail, Math.min(rail, GAIN * x))));
    Map<String, Figure> figures =
        bench.measure(
            "distortion-against-power",
            "{powers: 50 mW..100 W, until: 5 %, per-decade: 24, band: 20 Hz..24 kHz, harmonics: 10}");
    Curve curve = curve(figures.get("thd+n against power"));
    double last = curve.y(curve.size() - 1);
    assertThat(last).isGreaterThan(5);
    for (int i = 0; i + 1 < curve.size(); i++) {
      assertThat(curve.y(i)).isLessThan(5);
    }
    for (double percent : new double[] {1, 3}) {
      double watts = clippedPower(rail, percent / 100);
      String name = percent == 1 ? "power at 1 %" : "clipping power";
      assertThat(number(figures.get(name))).isCloseTo(watts, within(watts * 0.01));
    }
    // The drive that 100 W would take at the gain below clipping is never asked for.
    assertThat(loudest).isLessThanOrEqualTo(rail);
  }

  /**
   * Power of the fundamental, in 8 ohm, of the sine clipped at the rail that has this THD (of rms).
   */
  private static double clippedPower(double rail, double wanted) {
    double low = 1;
    double high = 2;
    for (int i = 0; i < 60; i++) {
      double over = (low + high) / 2;
      if (clipped(over)[1] < wanted) {
        low = over;
      } else {
        high = over;
      }
    }
    double fundamental = clipped(low)[0] * rail;
    return fundamental * fundamental / 16;
  }

  /** Closed form of a sine of the given peak clipped at 1: its fundamental, and THD of the rms. */
  private static double[] clipped(double peak) {
    double angle = Math.asin(1 / peak);
    double fundamental = 2 / Math.PI * (peak * angle + Math.sqrt(1 - 1 / (peak * peak)));
    double square =
        2 / Math.PI * (peak * peak * (angle / 2 - Math.sin(2 * angle) / 4) + Math.PI / 2 - angle);
    return new double[] {
      fundamental, Math.sqrt(Math.max(0, 1 - fundamental * fundamental / 2 / square))
    };
  }

  @Test
  void atLowPowerTheReadingIsNoiseThatFalls() throws Exception {
    Random random = new Random(5);
    bench.left = FormulaBench.curve(x -> cubic(x) + 0.02 * random.nextGaussian());
    Map<String, Figure> figures =
        bench.measure("distortion-against-power", "{powers: 10 mW..4 W, until: 50 %}");
    Curve curve = curve(figures.get("thd+n against power"));
    double inBand = 0.02 * Math.sqrt(19_980.0 / 24_000);
    assertThat(curve.y(0))
        .isCloseTo(100 * inBand / Math.sqrt(8 * curve.x(0)), within(curve.y(0) * 0.1));
    assertThat(curve.y(8)).isLessThan(curve.y(0) / 2);
  }

  @Test
  void aSilentUnitYieldsNoCurveAndNoFigure() throws Exception {
    bench.left = FormulaBench.curve(x -> 0);
    assertThat(bench.measure("distortion-against-power", "{powers: 10 mW..1 W}").values())
        .allSatisfy(figure -> assertThat(reason(figure)).contains("the output is nothing"));
    assertThat(
            bench
                .measure("distortion-against-frequency", "{power: 1 W, frequencies: 1 kHz..2 kHz}")
                .values())
        .allSatisfy(figure -> assertThat(reason(figure)).contains("the output is nothing"));
  }

  @Test
  void bothChannelsClimbInTheSameCapturesAndEndForThemselves() throws Exception {
    bench.left = FormulaBench.curve(x -> Math.max(-12, Math.min(12, GAIN * x)));
    bench.right = FormulaBench.curve(x -> Math.max(-6, Math.min(6, GAIN * x)));
    Map<String, Map<String, Figure>> figures =
        bench.measureBoth("distortion-against-power", "{powers: 50 mW..20 W}");
    double left = number(figures.get("left").get("clipping power"));
    double right = number(figures.get("right").get("clipping power"));
    assertThat(left / right).isCloseTo(4, within(0.1));
  }

  /** A gain that falls with frequency is made up for, so that the distortion stays the same. */
  @Test
  void atConstantOutputPowerTheDriveFollowsTheGain() throws Exception {
    bench.left = samples -> FormulaBench.curve(DistortionSweepsTest::cubic).apply(halved(samples));
    Map<String, Figure> figures =
        bench.measure(
            "distortion-against-frequency",
            "{power: 1 W, frequencies: 125 Hz..8 kHz, harmonics: 4}");
    Curve third = curve(figures.get("harmonic 3 against frequency"));
    double a = 0.20187;
    double expected = 20 * Math.log10(CUBIC * a * a / 4 / (1 - 0.75 * CUBIC * a * a));
    // 125 Hz to 4 kHz and no more: the third of 8 kHz lies above the band and is left out.
    assertThat(third.size()).isEqualTo(6);
    for (int i = 0; i < third.size(); i++) {
      assertThat(third.y(i)).isCloseTo(expected, within(0.03));
    }
    assertThat(curve(figures.get("thd against frequency")).size()).isEqualTo(7);
    assertThat(curve(figures.get("harmonic 4 against frequency")).x(0)).isCloseTo(125, within(0.1));
  }

  /** The mean of two neighbours: falls with frequency. */
  private static double[] halved(double[] samples) {
    double[] out = new double[samples.length];
    for (int i = 1; i < samples.length; i++) {
      out[i] = (samples[i] + samples[i - 1]) / 2;
    }
    return out;
  }

  @Test
  void severalPowersAreToldEachUnderItsOwnCondition() throws Exception {
    bench.left = watched(FormulaBench.curve(DistortionSweepsTest::cubic));
    var settings =
        new DistortionAgainstFrequencyProcedure.Settings(
            "audio",
            java.util.List.of(
                kitproof.value.Quantity.parse("0.5 W"), kitproof.value.Quantity.parse("2 W")),
            kitproof.value.QuantityRange.parse("500 Hz..2 kHz", kitproof.value.Unit.HERTZ),
            1,
            kitproof.value.QuantityRange.parse("20 Hz..20 kHz", kitproof.value.Unit.HERTZ),
            3,
            java.time.Duration.ofMillis(100));
    var measured = new DistortionAgainstFrequencyProcedure().measure(settings, bench);
    assertThat(measured)
        .filteredOn(m -> m.name().equals("thd against frequency"))
        .extracting(m -> m.conditions().toString())
        .containsExactly("channel left, power 500 mW", "channel left, power 2 W");
    assertThat(loudest).isLessThan(Math.sqrt(2 * 8 * 2) * 1.01 + 0.2);
  }
}
