package kitproof.procedure;

import static kitproof.procedure.FormulaBench.curve;
import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import java.util.function.IntToDoubleFunction;
import java.util.function.UnaryOperator;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Spectra, products of two tones, noise and transients of amplifiers in closed form. */
class SpectralProceduresTest {
  /** Peak volts of 1 W in 8 ohm. */
  private static final double PEAK = 4;

  private final FormulaBench bench = new FormulaBench();

  private static double db(double ratio) {
    return 20 * Math.log10(ratio);
  }

  /** Adds something that depends on time alone. */
  private UnaryOperator<double[]> adding(double gain, IntToDoubleFunction what) {
    return samples -> {
      double[] out = new double[samples.length];
      for (int n = 0; n < out.length; n++) {
        out[n] = gain * samples[n] + what.applyAsDouble(n);
      }
      return out;
    };
  }

  private double sine(double rms, double hertz, int n) {
    return Math.sqrt(2) * rms * Math.sin(2 * Math.PI * hertz * n / bench.sampleRate + 0.5);
  }

  /** Closed form: a cubic k·(x + a·x³) makes a third harmonic of (a/4)·A³ beside A + (3a/4)·A³. */
  @Test
  void theSpectrumShowsTheHarmonicAndTheResidualThreeWavesPerCycle() throws Exception {
    double a = 0.05;
    bench.left = FormulaBench.curve(x -> 4 * (x + a * x * x * x));
    Map<String, Figure> figures =
        bench.measure("spectrum", "{power: 1 W, listen: 200 ms, periods: 2}");
    double drive = 1;
    for (int i = 0; i < 50; i++) {
      drive = PEAK / 4 - 0.75 * a * drive * drive * drive;
    }
    double third = 0.25 * a * drive * drive * drive / (drive + 0.75 * a * drive * drive * drive);
    Curve spectrum = curve(figures.get("harmonic spectrum"));
    assertThat(spectrum.size()).isBetween(100, 300);
    assertThat(level(spectrum, 1000)).isCloseTo(0, within(0.01));
    assertThat(level(spectrum, 3000)).isCloseTo(db(third), within(0.02));
    double output = db(PEAK / Math.sqrt(2));
    Curve volts = curve(figures.get("spectrum"));
    assertThat(level(volts, 1000)).isCloseTo(output, within(0.02));
    assertThat(level(volts, 3000)).isCloseTo(output + db(third), within(0.03));

    Curve wave = curve(figures.get("waveform"));
    // The tone that is played is a little below 1 kHz; the curves end with the plan's two periods.
    assertThat(wave.x(wave.size() - 1)).isCloseTo(0.002, within(1e-12));
    assertThat(wave.ys()[12]).isCloseTo(PEAK, within(0.3)); // a quarter of a cycle
    Curve residual = curve(figures.get("residual waveform"));
    double most = 0;
    int crossings = 0;
    for (int i = 1; i < residual.size(); i++) {
      most = Math.max(most, Math.abs(residual.y(i)));
      crossings += residual.y(i - 1) < 0 != residual.y(i) < 0 ? 1 : 0;
    }
    assertThat(most).isCloseTo(100 * third, within(2 * third));
    // A fact of the trade (common practice, no source): three waves per cycle, two cycles.
    assertThat(crossings).isBetween(11, 13);
  }

  private static double level(Curve curve, double hertz) {
    double level = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < curve.size(); i++) {
      if (Math.abs(curve.x(i) / hertz - 1) < 0.01) {
        level = Math.max(level, curve.y(i));
      }
    }
    return level;
  }

  /**
   * Closed forms for k·(x + a2·x² + a3·x³) with tones of amplitude A each: a2·A² at f2 - f1,
   * (3/4)·a3·A³ at 2f1 - f2 and 2f2 - f1, A + (9/4)·a3·A³ at the tones (polynomial_products.csv).
   */
  @ParameterizedTest
  @CsvSource({"0.02, 0.01", "0.05, -0.03", "0, 0.02"})
  void differenceFrequencyDistortionOfCurves(double a2, double a3) throws Exception {
    bench.left = FormulaBench.curve(x -> 4 * (x + a2 * x * x + a3 * x * x * x));
    bench.sampleRate = 96_000;
    Map<String, Figure> figures =
        bench.measure("difference-frequency-distortion", "{power: 1 W, listen: 100 ms}");
    double each = PEAK / 2;
    double amplitude = each / 4;
    for (int i = 0; i < 50; i++) {
      amplitude = each / 4 - 2.25 * a3 * Math.pow(amplitude, 3);
    }
    double tone = each / 4;
    double second = a2 * amplitude * amplitude / tone;
    double third = 0.75 * Math.abs(a3) * Math.pow(amplitude, 3) / tone;
    assertThat(number(figures.get("difference-frequency distortion 2")))
        .isCloseTo(100 * second / 2, within(0.003 * 100 * second + 1e-7));
    assertThat(number(figures.get("difference-frequency distortion 3")))
        .isCloseTo(100 * third, within(0.006 * 100 * third));
    if (a2 > 0) {
      assertThat(number(figures.get("product f2-f1"))).isCloseTo(db(second), within(0.03));
    }
    assertThat(number(figures.get("product 2f1-f2"))).isCloseTo(db(third), within(0.05));
    assertThat(number(figures.get("product 2f2-f1"))).isCloseTo(db(third), within(0.05));
  }

  /** Closed form for k·(x + a2·x²): sidebands of a2·A·B beside a tone of B, A being 0.8 of all. */
  @ParameterizedTest
  @ValueSource(doubles = {0.01, 0.08})
  void modulationDistortionOfCurves(double a2) throws Exception {
    bench.left = FormulaBench.curve(x -> 4 * (x + a2 * x * x));
    Map<String, Figure> figures =
        bench.measure("modulation-distortion", "{power: 1 W, listen: 200 ms}");
    double sideband = a2 * 0.8 * PEAK / 4;
    assertThat(number(figures.get("sideband f2-f1"))).isCloseTo(db(sideband), within(0.02));
    assertThat(number(figures.get("sideband f2+f1"))).isCloseTo(db(sideband), within(0.02));
    assertThat(number(figures.get("modulation distortion 2")))
        .isCloseTo(200 * sideband, within(0.005 * 200 * sideband));
    assertThat(number(figures.get("modulation distortion 3"))).isLessThan(1e-6);
    assertThat(number(figures.get("modulation distortion")))
        .isCloseTo(200 * sideband, within(0.005 * 200 * sideband));
  }

  @Test
  void tonesAboveWhatTheInterfaceCarriesAreTold() throws Exception {
    Map<String, Figure> figures =
        bench.measure("difference-frequency-distortion", "{power: 1 W, low: 22 kHz, high: 23 kHz}");
    assertThat(figures.values())
        .allSatisfy(figure -> assertThat(reason(figure)).contains("23 kHz is too near half"));
  }

  /** The mains is a little off its name, as every mains is. */
  @ParameterizedTest
  @ValueSource(doubles = {49.9, 50.13})
  void humIsReadAtTheMainsFrequencyAndItsMultiplesInDecibelsOfAVolt(double mains) throws Exception {
    bench.left =
        adding(0, n -> 0.3 + sine(0.01, mains, n) + sine(0.003, 2 * mains, n) + sine(1e-4, 440, n));
    Map<String, Figure> figures = bench.measure("hum", "{lines: 3}");
    assertThat(number(figures.get("hum 50 Hz"))).isCloseTo(-40, within(0.01));
    assertThat(number(figures.get("hum 100 Hz"))).isCloseTo(db(0.003), within(0.01));
    assertThat(number(figures.get("hum 150 Hz"))).isLessThan(-100);
    assertThat(number(figures.get("hum"))).isCloseTo(db(Math.hypot(0.01, 0.003)), within(0.01));
    Curve spectrum = curve(figures.get("hum spectrum"));
    assertThat(spectrum.x(spectrum.size() - 1)).isCloseTo(1000, within(1.0));
    assertThat(level(spectrum, 50)).isCloseTo(-40, within(0.01));
    assertThat(level(spectrum, 440)).isCloseTo(-80, within(0.01));
  }

  /** White noise with a seed: uniform in ±a has an rms of a/√3, evenly up to half the rate. */
  @Test
  void noiseIsReadInItsBandAndAgainstTheRatedOutput() throws Exception {
    Random random = new Random(11);
    bench.left = adding(0, n -> 1e-3 * (2 * random.nextDouble() - 1));
    Conditions plain = Conditions.of("band", "20 Hz..20 kHz").with("weighting", "none");
    double none = 0;
    double a = 0;
    double c = 0;
    double quasiPeak = 0;
    double ratio = 0;
    for (Measurement one : bench.all("noise", "{rated: 10 W}")) {
      double value = number(one.figure());
      switch (one.name() + ", " + one.conditions().values().get("weighting")) {
        case "noise, none" -> none = value;
        case "noise, A" -> a = value;
        case "noise, C" -> c = value;
        case "noise, ITU-R 468 quasi-peak" -> quasiPeak = value;
        case "signal-to-noise ratio, none" -> ratio = value;
        default -> {}
      }
      assertThat(one.conditions().values()).containsEntry("band", plain.values().get("band"));
    }
    assertThat(none).isCloseTo(db(1e-3 * Math.sqrt(19980.0 / 24000 / 3)), within(0.1));
    // weighting_noise_levels.csv: what the curves make of white noise in this band.
    assertThat(a - none).isCloseTo(-2.048, within(0.1));
    assertThat(c - none).isCloseTo(-3.450, within(0.1));
    // The same table has 7.309 dB for the 468 curve; its meter reads some decibels above the rms.
    assertThat(quasiPeak - none).isBetween(8.3, 13.3);
    assertThat(ratio).isCloseTo(db(Math.sqrt(80)) - none, within(1e-9));
  }

  /** Closed form: ln 9 over the corner's angular frequency. */
  @ParameterizedTest
  @ValueSource(doubles = {8e3, 15e3})
  void aSquareWaveRisesAsTheCornerSays(double corner) throws Exception {
    bench.sampleRate = 192_000;
    double stay = Math.exp(-2 * Math.PI * corner / bench.sampleRate);
    bench.left =
        samples -> {
          double[] out = new double[samples.length];
          double state = 0;
          for (int n = 0; n < out.length; n++) {
            state = stay * state + (1 - stay) * 20 * samples[n];
            out[n] = state;
          }
          return out;
        };
    Map<String, Figure> figures =
        bench.measure("square-wave", "{power: 1 W, frequency: 500 Hz, listen: 50 ms}");
    double expected = Math.log(9) / (2 * Math.PI * corner);
    assertThat(number(figures.get("rise time"))).isCloseTo(expected, within(0.06 * expected));
    assertThat(number(figures.get("overshoot"))).isLessThan(0.5);
    assertThat(reason(figures.get("ringing frequency"))).isEqualTo("nothing rings");
    assertThat(number(figures.get("sag"))).isCloseTo(0, within(0.1));
    Curve wave = curve(figures.get("square wave"));
    assertThat(wave.x(wave.size() - 1)).isCloseTo(0.004, within(1e-4));
    assertThat(wave.size()).isLessThan(800);
  }

  @Test
  void aWireHasNoRiseTimeOfItsOwn() throws Exception {
    bench.left = FormulaBench.curve(x -> 20 * x);
    Map<String, Figure> figures = bench.measure("square-wave", "power: 1 W\n");
    assertThat(reason(figures.get("rise time"))).contains("higher sample rate");
  }

  @Test
  void anOscillationIsFoundAboveTheDriveWithFrequencyAndLevel() throws Exception {
    Random random = new Random(5);
    UnaryOperator<double[]> quiet = adding(20, n -> 1e-5 * (2 * random.nextDouble() - 1));
    bench.left = quiet;
    String settings = "{power: 1 W, load: with 100 nF}";
    Map<String, Figure> good = bench.measure("stability", settings);
    assertThat(number(good.get("stray line"))).isLessThan(-100);
    assertThat(reason(good.get("stray line frequency"))).contains("no line stands out");
    bench.left = adding(20, n -> sine(0.02, 17_321, n) + 1e-5 * (2 * random.nextDouble() - 1));
    Map<String, Figure> bad = bench.measure("stability", settings);
    assertThat(number(bad.get("stray line"))).isCloseTo(db(0.02), within(0.02));
    assertThat(number(bad.get("stray line frequency"))).isCloseTo(17_321, within(4.0));
  }

  @Test
  void phaseAndPolarityComeWithTheResponse() throws Exception {
    String settings = "{power: 1 W, band: 20 Hz..20 kHz, sweep: 1 s}";
    bench.left = FormulaBench.curve(x -> -20 * x);
    Map<String, Figure> figures = bench.measure("frequency-response", settings);
    assertThat(number(figures.get("polarity"))).isEqualTo(-1);
    assertThat(Arrays.stream(curve(figures.get("phase")).ys()).boxed().toList())
        .allSatisfy(degrees -> assertThat(Math.abs(degrees)).isCloseTo(180, within(0.1)));

    bench.left = samples -> late(samples, 24); // half a millisecond
    figures = bench.measure("frequency-response", settings);
    assertThat(reason(figures.get("polarity"))).contains("ambiguous");
    // A pure delay: 360 degrees times frequency times time.
    Curve phase = curve(figures.get("phase"));
    assertThat(phase.y(phase.size() - 1) - phase.y(0))
        .isCloseTo(-360 * 24 / 48e3 * (phase.x(phase.size() - 1) - 20), within(1.0));

    figures =
        bench.measure("frequency-response", settings.replace("}", ", interface-delay: 500 us}"));
    assertThat(number(figures.get("polarity"))).isEqualTo(1);
    assertThat(Arrays.stream(curve(figures.get("phase")).ys()).boxed().toList())
        .allSatisfy(degrees -> assertThat(degrees).isCloseTo(0, within(0.2)));
  }

  private static double[] late(double[] samples, int by) {
    double[] out = new double[samples.length];
    for (int n = by; n < out.length; n++) {
      out[n] = 20 * samples[n - by];
    }
    return out;
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "spectrum",
        "difference-frequency-distortion",
        "modulation-distortion",
        "square-wave",
        "stability"
      })
  void aChannelThatCannotBeMeasuredLeavesTheOtherItsFigures(String procedure) throws Exception {
    bench.sampleRate = 96_000;
    bench.left = FormulaBench.curve(x -> 0);
    bench.right = FormulaBench.curve(x -> 20 * x + x * x);
    Map<String, Map<String, Figure>> figures = bench.measureBoth(procedure, "power: 1 W\n");
    assertThat(figures.get("left").values())
        .isNotEmpty()
        .allSatisfy(figure -> assertThat(reason(figure)).contains("the output is nothing"));
    assertThat(figures.get("right").values())
        .filteredOn(figure -> !(figure instanceof Figure.Invalid))
        .isNotEmpty();
  }

  @ParameterizedTest
  @ValueSource(strings = {"hum", "noise"})
  void lostSamplesMakeNoFigure(String procedure) throws Exception {
    bench.lost = true;
    String settings = procedure.equals("hum") ? "{}" : "rated: 10 W\n";
    for (Measurement one : bench.all(procedure, settings)) {
      assertThat(reason(one.figure())).contains("samples were lost");
    }
  }
}
