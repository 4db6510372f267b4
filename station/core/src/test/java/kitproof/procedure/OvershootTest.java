package kitproof.procedure;

import static kitproof.procedure.FormulaBench.curve;
import static kitproof.procedure.FormulaBench.number;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.function.UnaryOperator;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Nothing exceeds the stated power at any frequency, whatever resonates and however gain rises. */
class OvershootTest {
  private static final double GAIN = 20;

  /** What a sweep that goes through a resonance may add. */
  private static final double TRANSIENT = 1.03;

  private final FormulaBench bench = new FormulaBench();
  private double loudest;

  /** The part of each signal that is looked at. */
  private double listenFrom;

  private double listenTo = 1;

  @BeforeEach
  void fast() {
    bench.sampleRate = 96_000;
    bench.rightLoad = Quantity.of(8, Unit.OHM);
    bench.otherLoad = Quantity.of(8, Unit.OHM);
  }

  /**
   * A gain of 20 with a peak: the peaking filter of the Audio EQ Cookbook (R. Bristow-Johnson, W3C
   * Note of 2021; from memory), whose gain at its centre is exactly that many decibels.
   */
  private UnaryOperator<double[]> peaking(double centre, double decibels, double q) {
    return samples -> {
      double a = Math.pow(10, decibels / 40);
      double w = 2 * Math.PI * centre / bench.sampleRate;
      double alpha = Math.sin(w) / (2 * q);
      double norm = 1 / (1 + alpha / a);
      double[] b = {(1 + alpha * a) * norm, -2 * Math.cos(w) * norm, (1 - alpha * a) * norm};
      double[] out = new double[samples.length];
      for (int i = 0; i < out.length; i++) {
        double x1 = i > 0 ? samples[i - 1] : 0;
        double x2 = i > 1 ? samples[i - 2] : 0;
        double y1 = i > 0 ? out[i - 1] / GAIN : 0;
        double y2 = i > 1 ? out[i - 2] / GAIN : 0;
        double y = b[0] * samples[i] + b[1] * (x1 - y1) + b[2] * x2 - (1 - alpha / a) * norm * y2;
        out[i] = GAIN * y;
        if (i >= listenFrom * out.length && i < listenTo * out.length) {
          loudest = Math.max(loudest, Math.abs(out[i]));
        }
      }
      return out;
    };
  }

  private static double peak(double watts) {
    return Math.sqrt(2 * watts * 8);
  }

  @ParameterizedTest
  @CsvSource({"3000, 14, 3", "16000, 12, 8", "110, 9, 2", "10000, -20, 5"})
  void noToneBeginsAboveItsPower(double centre, double decibels, double q) throws Exception {
    // Settled: beside a resonance the onset of a tone overshoots whatever its level.
    listenFrom = 0.5;
    listenTo = 0.8;
    bench.left = peaking(centre, decibels, q);
    bench.all(
        "distortion-against-frequency",
        "{power: [1 W, 4 W], frequencies: 100 Hz..20 kHz, per-octave: 3, band: 20 Hz..45 kHz}");
    assertThat(loudest).isBetween(peak(4) * 0.99, peak(4) * 1.001);
  }

  /** Closed form: y = 20·(x + k·x³) gives 1 + 3/4·k·A² times more at amplitude A. */
  @Test
  void noToneExceedsItsPowerWhereGainRisesWithLevel() throws Exception {
    bench.left =
        samples -> {
          double[] out = FormulaBench.curve(x -> GAIN * x * (1 + 0.4 * x * x)).apply(samples);
          double[] fundamental = FormulaBench.curve(x -> GAIN * x).apply(samples);
          for (int i = 0; i < out.length; i++) {
            loudest = Math.max(loudest, Math.abs(fundamental[i]));
          }
          return out;
        };
    bench.all(
        "distortion-against-frequency",
        "{power: [1 W, 4 W], frequencies: 100 Hz..20 kHz, band: 20 Hz..45 kHz}");
    double drive = loudest / GAIN;
    double output = GAIN * drive * (1 + 0.75 * 0.4 * drive * drive);
    assertThat(output).isBetween(peak(4) * 0.99, peak(4) * 1.001);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "frequency-response; {power: 1 W, band: 20 Hz..45 kHz, sweep: 1 s}",
        "frequency-response; {power: 1 W, band: 20 Hz..45 kHz, method: stepped, per-octave: 12}",
        "output-impedance; {power: 1 W, band: 20 Hz..45 kHz, sweep: 1 s, second-load: other}",
      })
  void noSweepExceedsItsPowerWhereTheUnitHasAPeak(String procedure, String settings)
      throws Exception {
    bench.left = peaking(30_000, 6, 2);
    bench.otherLeft = peaking(30_000, 6, 2);
    Map<String, Figure> figures = bench.measure(procedure, settings);
    assertThat(loudest).isBetween(peak(1) * 0.97, peak(1) * TRANSIENT);
    assertThat(bench.notices).anyMatch(text -> text.startsWith("swept 6.0 dB below"));
    if (procedure.equals("frequency-response")) {
      Curve response = curve(figures.get("frequency response"));
      double highest = java.util.Arrays.stream(response.ys()).max().orElseThrow();
      assertThat(highest).isCloseTo(6, within(0.1)); // the figure is the unit's all the same
    }
  }

  @ParameterizedTest
  @CsvSource({"crosstalk", "channel-balance"})
  void norOnTwoChannels(String procedure) throws Exception {
    bench.left = peaking(30_000, 6, 2);
    bench.right = peaking(15_000, 9, 2);
    bench.leak = 1e-3;
    bench.conditions = Conditions.of("channel", "both");
    bench.all(procedure, "{power: 1 W, band: 20 Hz..45 kHz, sweep: 1 s}");
    assertThat(loudest).isBetween(peak(1) * 0.97, peak(1) * TRANSIENT);
    assertThat(bench.notices)
        .anyMatch(text -> text.startsWith("left: swept 6.0 dB below the stated power"))
        .anyMatch(text -> text.startsWith("right: swept 9.0 dB below the stated power"));
  }

  /** The peak of two tones is that of the sine of the stated power, also where one is resonant. */
  @ParameterizedTest
  @CsvSource({
    "difference-frequency-distortion, 20000, 12, 3",
    "modulation-distortion, 7000, 14, 1",
    "difference-frequency-distortion, 3000, 6, 1",
  })
  void twoTonesDoNotExceedTheirPowerWhereTheUnitHasAPeak(
      String procedure, double centre, double decibels, double q) throws Exception {
    bench.left = peaking(centre, decibels, q);
    bench.measure(procedure, "{power: 1 W}");
    assertThat(loudest).isBetween(peak(1) * 0.97, peak(1) * TRANSIENT);
  }

  /**
   * The peak of a square wave is that of the sine of the stated power, also where it overshoots.
   */
  @ParameterizedTest
  @CsvSource({"30000, 12, 2", "8000, 10, 4", "3000, -6, 1", "1000, 6, 1"})
  void noSquareWavePeaksAboveItsPower(double centre, double decibels, double q) throws Exception {
    bench.left = peaking(centre, decibels, q);
    Map<String, Figure> figures = bench.measure("square-wave", "{power: 1 W}");
    assertThat(loudest).isBetween(peak(1) * 0.97, peak(1) * 1.01);
    if (decibels > 9) {
      assertThat(bench.notices).anyMatch(text -> text.startsWith("square wave played "));
      assertThat(number(figures.get("overshoot"))).isGreaterThan(3); // the unit's all the same
    }
  }

  /**
   * A source of no impedance gives the same volts into every load, one of much the same current.
   */
  @ParameterizedTest
  @CsvSource({"5, 0", "5, 100", "12, 0", "12, 100"})
  void theOtherLoadTakesNoMoreThanTheFirst(double otherOhms, double sourceOhms) throws Exception {
    bench.otherLoad = Quantity.of(otherOhms, Unit.OHM);
    double[] most = new double[2];
    bench.left = into(8, sourceOhms, most, 0);
    bench.otherLeft = into(otherOhms, sourceOhms, most, 1);
    bench.measure(
        "output-impedance", "{power: 1 W, band: 20 Hz..20 kHz, sweep: 1 s, second-load: other}");
    assertThat(most[0]).isBetween(0.98, 1.002);
    assertThat(most[1]).isBetween(0.3, 1.002);
  }

  /** Keeps the most power, sine for sine, that the load took. */
  private static UnaryOperator<double[]> into(
      double loadOhms, double sourceOhms, double[] most, int index) {
    return samples -> {
      double[] out = samples.clone();
      for (int i = 0; i < out.length; i++) {
        out[i] *= 40 * loadOhms / (loadOhms + sourceOhms);
        most[index] = Math.max(most[index], out[i] * out[i] / 2 / loadOhms);
      }
      return out;
    };
  }

  @Test
  void aFlatUnitIsSweptAtItsPowerAndNothingIsTold() throws Exception {
    bench.left = peaking(30_000, 0, 1);
    bench.measure("frequency-response", "{power: 1 W, band: 20 Hz..45 kHz, sweep: 1 s}");
    assertThat(loudest).isBetween(peak(1) * 0.99, peak(1) * 1.001);
    assertThat(bench.notices).isEmpty();
  }

  @Test
  void theCurveOfThdSaysWhichHarmonicsTheBandHolds() throws Exception {
    bench.left = FormulaBench.curve(x -> GAIN * x * (1 - 0.1 * x * x));
    bench.measure(
        "distortion-against-frequency",
        "{power: 1 W, frequencies: 1 kHz..16 kHz, band: 20 Hz..45 kHz, harmonics: 4}");
    assertThat(
            bench.measured.stream()
                .filter(m -> m.name().equals("thd against frequency"))
                .findFirst()
                .orElseThrow()
                .note())
        .isEqualTo("the band holds harmonic 4 up to 11.25 kHz, 3 up to 15 kHz");
  }
}
