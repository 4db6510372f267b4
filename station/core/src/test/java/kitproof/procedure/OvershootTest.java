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

  /** Whether only that counts which comes when the drive has been the same for a while. */
  private boolean settled;

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
        if (!settled || isSteady(samples, i)) {
          loudest = Math.max(loudest, Math.abs(out[i]));
        }
      }
      return out;
    };
  }

  /**
   * Whether each stretch of 12 ms, six before this sample and its own, has one and the same peak.
   */
  private boolean isSteady(double[] samples, int at) {
    int stretch = (int) (0.012 * bench.sampleRate);
    if (stretched != samples) {
      stretched = samples;
      stretches = new double[samples.length / stretch + 1];
      for (int i = 0; i < samples.length; i++) {
        stretches[i / stretch] = Math.max(stretches[i / stretch], Math.abs(samples[i]));
      }
    }
    int own = at / stretch;
    for (int back = 1; back <= 6; back++) {
      if (own < back || Math.abs(stretches[own - back] / stretches[own] - 1) > 2e-3) {
        return false;
      }
    }
    return true;
  }

  private double[] stretched = {};
  private double[] stretches = {};

  private static double peak(double watts) {
    return Math.sqrt(2 * watts * 8);
  }

  @ParameterizedTest
  @CsvSource({"3000, 14, 3", "16000, 12, 8", "110, 9, 2", "10000, -20, 5"})
  void noToneBeginsAboveItsPower(double centre, double decibels, double q) throws Exception {
    // Settled: beside a resonance the onset of a tone overshoots whatever its level.
    settled = true;
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

  /**
   * A gain of 20, above a corner 20·(1 + k·A²) where A is the amplitude of a sine as strong as what
   * came in over the last moments: a gain that rises with level without a harmonic.
   */
  private UnaryOperator<double[]> rising(double k, double cornerHertz, double seconds) {
    return samples -> {
      double[] out = new double[samples.length];
      double pass = 1 - Math.exp(-2 * Math.PI * cornerHertz / bench.sampleRate);
      double forget = 1 - Math.exp(-1 / (seconds * bench.sampleRate));
      double low = 0;
      double squares = 0;
      for (int i = 0; i < out.length; i++) {
        low += pass * (samples[i] - low);
        squares += forget * (2 * samples[i] * samples[i] - squares);
        out[i] = GAIN * (low + (samples[i] - low) * (1 + k * squares));
        loudest = Math.max(loudest, Math.abs(out[i]));
      }
      return out;
    };
  }

  /** With this k a gain rises so much to the drive of 1 W. */
  private static double rise(double decibels) {
    return (Math.pow(10, decibels / 20) - 1) / Math.pow(peak(1) / GAIN, 2);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "frequency-response; {power: 1 W, band: 20 Hz..40 kHz, sweep: 1 s}",
        "frequency-response; {power: 1 W, band: 20 Hz..40 kHz, method: stepped, per-octave: 12}",
        "output-impedance; {power: 1 W, band: 20 Hz..40 kHz, sweep: 1 s, second-load: other}",
        "distortion-against-frequency; {power: 1 W, frequencies: 100 Hz..20 kHz}",
      })
  void noSweepExceedsItsPowerWhereGainRisesWithLevelElsewhere(String procedure, String settings)
      throws Exception {
    bench.left = rising(rise(2), 5000, 0.001);
    bench.otherLeft = rising(rise(2), 5000, 0.001);
    bench.all(procedure, settings);
    assertThat(loudest).isBetween(peak(1) * 0.97, peak(1) * TRANSIENT);
    assertThat(bench.notices).noneMatch(text -> text.contains("peaks came to"));
    if (!procedure.startsWith("distortion")) {
      assertThat(bench.notices)
          .anyMatch(
              text ->
                  text.startsWith("swept ") && text.endsWith(", where its gain rises with level"));
    }
  }

  /** The high tone, a fifth of the drive, doubles with it, so that the sum is a fifth more. */
  @Test
  void norDoTwoTonesWhereGainRisesWithLevelAtOneOfThem() throws Exception {
    bench.left = rising(1 / 0.68 / Math.pow(peak(1) / GAIN, 2), 2000, 0.03);
    bench.measure("modulation-distortion", "{power: 1 W}");
    assertThat(loudest).isBetween(peak(1) * 0.95, peak(1) * 1.05);
  }

  /** A square wave is as strong as a sine of 1.41 times its peak, and so gains twice the rise. */
  @Test
  void norDoesASquareWaveThatIsStrongerThanTheSine() throws Exception {
    bench.left = rising(rise(1.2), 0, 0.005);
    bench.measure("square-wave", "{power: 1 W}");
    assertThat(loudest).isBetween(peak(1) * 0.97, peak(1) * 1.01);
  }

  /** Whose lowest power is levelled to first. */
  @Test
  void aClimbIsHeldAgainstItsHighestPower() throws Exception {
    bench.left = FormulaBench.curve(x -> GAIN * x);
    bench.all("distortion-against-power", "{powers: 50 mW..4 W}");
    assertThat(bench.notices).isEmpty();
  }

  /** What no look can foresee, a gain that jumps as the power is reached, is told. */
  @Test
  void whereItIsExceededAllTheSameThatIsTold() throws Exception {
    bench.left = jumping(1.3);
    bench.all("frequency-response", "{power: 1 W, band: 20 Hz..40 kHz, sweep: 1 s}");
    assertThat(bench.notices)
        .containsExactly(
            "the output's peaks came to 2.3 dB above those of a sine of the stated power");
  }

  @Test
  void itIsToldOfEachChannel() throws Exception {
    bench.left = jumping(1.3);
    bench.right = jumping(1.5);
    bench.conditions = Conditions.of("channel", "both");
    bench.all("frequency-response", "{power: 1 W, band: 20 Hz..40 kHz, sweep: 1 s}");
    assertThat(bench.notices)
        .contains(
            "left: the output's peaks came to 2.3 dB above those of a sine of the stated power",
            "right: the output's peaks came to 3.5 dB above those of a sine of the stated power");
  }

  /** A gain of 20 that is this many times as high once the drive is nearly that of 1 W. */
  private static UnaryOperator<double[]> jumping(double times) {
    return samples -> {
      double most = 0;
      for (double sample : samples) {
        most = Math.max(most, Math.abs(sample));
      }
      double jump = most > 0.97 * peak(1) / GAIN ? times : 1;
      return FormulaBench.curve(x -> GAIN * jump * x).apply(samples);
    };
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
