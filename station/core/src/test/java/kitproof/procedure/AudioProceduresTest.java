package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import kitproof.driver.InstrumentException;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jtransforms.fft.DoubleFFT_1D;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Gain, distortion and response of amplifiers in closed form. Reference values stand with their
 * sources in the files beside this class.
 */
class AudioProceduresTest {
  private static final String GAIN = "power: 1 W\n";

  private final FormulaBench bench = new FormulaBench();

  /** A polynomial and what it makes of a tone. */
  record Row(String name, Map<String, Double> values) {
    double at(String key) {
      return values.get(key);
    }

    double coefficient(String key) {
      for (String part : name.split(" ")) {
        if (part.startsWith(key + "=")) {
          return Double.parseDouble(part.substring(key.length() + 1));
        }
      }
      throw new IllegalArgumentException(key);
    }

    @Override
    public String toString() {
      return name;
    }
  }

  static Stream<Row> polynomials() throws Exception {
    Map<String, Map<String, Double>> rows = new LinkedHashMap<>();
    for (String[] line : ReferenceTable.rows("polynomial_products.csv")) {
      rows.computeIfAbsent(line[1], k -> new LinkedHashMap<>())
          .put(line[2], Double.parseDouble(line[3]));
    }
    return rows.entrySet().stream().map(e -> new Row(e.getKey(), e.getValue()));
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("polynomials")
  void distortionOfAPolynomialIsItsClosedForm(Row row) throws Exception {
    double a2 = row.coefficient("a2");
    double a3 = row.coefficient("a3");
    bench.left = FormulaBench.curve(x -> x + a2 * x * x + a3 * x * x * x);
    // The power at which the fundamental is that of the reference.
    Quantity power = Quantity.of(row.at("H1") * row.at("H1") / 2 / 8, Unit.WATT);
    Map<String, Figure> figures =
        bench.measure("distortion", "{power: " + power + ", harmonics: 4, listen: 300 ms}");
    // Levelling is right to 0.01 dB, and a third harmonic rises by 3 dB a dB.
    assertThat(number(figures.get("thd")))
        .isCloseTo(100 * row.at("THD_F"), within(100 * row.at("THD_F") * 0.004));
    assertThat(number(figures.get("thd+n")))
        .isCloseTo(100 * row.at("THD_R"), within(100 * row.at("THD_R") * 0.004));
    for (int order = 2; order <= 3; order++) {
      double ratio = Math.abs(row.at("H" + order)) / row.at("H1");
      if (ratio > 0) {
        assertThat(number(figures.get("harmonic " + order)))
            .isCloseTo(20 * Math.log10(ratio), within(0.03));
      } else {
        assertThat(below(figures.get("harmonic " + order), -150)).isTrue();
      }
    }
    assertThat(below(figures.get("harmonic 4"), -150)).isTrue();
  }

  private static boolean below(Figure figure, double db) {
    return figure instanceof Figure.Invalid || number(figure) < db;
  }

  @Test
  void noiseInTheBandIsCountedInThdPlusNoiseOnly() throws Exception {
    Random random = new Random(7);
    double rms = 0.01;
    bench.left =
        samples -> {
          for (int i = 0; i < samples.length; i++) {
            samples[i] = 10 * samples[i] + rms * random.nextGaussian();
          }
          return samples;
        };
    Map<String, Figure> figures =
        bench.measure("distortion", "{power: 1 W, harmonics: 5, listen: 1 s}");
    // White noise to half the sample rate, of which the band takes its share.
    double inBand = rms * Math.sqrt((20_000.0 - 20) / 24_000);
    double expected = 100 * inBand / Math.sqrt(8);
    assertThat(number(figures.get("thd+n"))).isCloseTo(expected, within(expected * 0.03));
    assertThat(number(figures.get("thd"))).isLessThan(expected / 10);
  }

  @Test
  void gainIsOutputOverInputOfTheStepsChannel() throws Exception {
    bench.left = FormulaBench.curve(x -> 20 * x);
    bench.right = FormulaBench.curve(x -> -7 * x);
    assertThat(number(bench.measure("gain", GAIN).get("gain")))
        .isCloseTo(20 * Math.log10(20), within(1e-6));
    bench.conditions = Conditions.of("channel", "right");
    assertThat(number(bench.measure("gain", GAIN).get("gain")))
        .isCloseTo(20 * Math.log10(7), within(1e-6));
    bench.conditions = Conditions.NONE;
    assertThat(number(bench.measure("gain", GAIN).get("gain")))
        .isCloseTo(20 * Math.log10(20), within(1e-6));
  }

  @Test
  void aChannelThatTheInterfaceDoesNotHaveIsTheStationsFault() {
    bench.conditions = Conditions.of("channel", "middle");
    assertThatThrownBy(() -> bench.measure("gain", GAIN))
        .isInstanceOf(InstrumentException.class)
        .hasMessageContaining("no output \"middle\"; it has left, right");
  }

  static Stream<Arguments> voltages() throws Exception {
    return ReferenceTable.rows("networks.csv").stream()
        .filter(line -> line[0].startsWith("voltage for P="))
        .map(
            line -> {
              String[] words = line[0].substring("voltage for P=".length()).split(" ");
              return Arguments.of(words[0] + " W", words[3] + " ohm", Double.valueOf(line[3]));
            });
  }

  @ParameterizedTest(name = "{0} in {1} is {2} V")
  @MethodSource("voltages")
  void powerIsReachedInTheLoadAsMeasured(String power, String load, double volts) throws Exception {
    bench.load = Quantity.parse(load);
    List<Double> peaks = new ArrayList<>();
    bench.left =
        samples -> {
          double[] out = FormulaBench.curve(x -> 20 * x).apply(samples);
          peaks.add(java.util.Arrays.stream(out).map(Math::abs).max().orElseThrow());
          return out;
        };
    bench.measure("gain", "power: " + power);
    double reached = peaks.get(peaks.size() - 1) / Math.sqrt(2);
    assertThat(20 * Math.log10(reached / volts)).isBetween(-0.01, 0.01);
  }

  /** First harmonic of a curve driven by a cosine, by the mean over one period. */
  private static double fundamental(java.util.function.DoubleUnaryOperator curve, double peak) {
    int n = 512;
    double sum = 0;
    for (int i = 0; i < n; i++) {
      double c = Math.cos(2 * Math.PI * i / n);
      sum += curve.applyAsDouble(peak * c) * c;
    }
    return 2 * sum / n;
  }

  static Stream<Long> seeds() {
    return Stream.iterate(1L, seed -> seed + 1).limit(60);
  }

  @ParameterizedTest(name = "seed {0}")
  @MethodSource("seeds")
  void levellingComesFromBelowAndReachesThePower(long seed) throws Exception {
    Random random = new Random(seed);
    double gain = Math.pow(10, random.nextDouble() * 2.8); // to 56 dB
    double target = Math.sqrt(2 * 8 * 0.01 * Math.pow(10, random.nextDouble() * 3)); // volts peak
    boolean compresses = random.nextBoolean();
    // Compression as of a valve that nears its end: up to 3.3 dB at the target. Expansion up to
    // 1 dB, as of a stage that leaves its crossover region.
    double most = target * (1.05 + random.nextDouble() * 3);
    double expansion = random.nextDouble() * 0.12;
    java.util.function.DoubleUnaryOperator unit =
        compresses
            ? x -> most * Math.tanh(gain * x / most)
            : x -> gain * x * (1 + expansion * Math.pow(gain * x / target, 2) / 0.75);
    List<Double> drives = new ArrayList<>();
    bench.drivePeak = 1000;
    bench.inputPeak = 1000;
    bench.left =
        samples -> {
          drives.add(java.util.Arrays.stream(samples).map(Math::abs).max().orElseThrow());
          return FormulaBench.curve(unit).apply(samples);
        };
    Quantity power = Quantity.of(target * target / 2 / 8, Unit.WATT);
    Figure found = bench.measure("gain", "power: " + power).get("gain");
    String about = "seed " + seed + (compresses ? " compressing" : " expanding by " + expansion);
    assertThat(found).as(about).isInstanceOf(Figure.OfQuantity.class);
    for (double drive : drives) {
      assertThat(20 * Math.log10(fundamental(unit, drive) / target))
          .as(about + " " + drives)
          .isLessThan(0.1);
    }
    double reached = fundamental(unit, drives.get(drives.size() - 1));
    assertThat(20 * Math.log10(reached / target)).as(about).isBetween(-0.011, 0.011);
    assertThat(drives).as(about).hasSizeLessThan(10);
  }

  @ParameterizedTest(name = "{0}")
  @CsvSource({
    "RC low-pass R=10k C=1.5nF, low",
    "RC high-pass R=470k C=22nF, high",
  })
  void responseOfAFirstOrderNetworkIsItsClosedForm(String network, String kind) throws Exception {
    Map<Double, Double> db = new LinkedHashMap<>();
    double corner = 0;
    for (String[] line : ReferenceTable.rows("networks.csv")) {
      if (line[0].equals(network) && line[2].equals("corner_Hz")) {
        corner = Double.parseDouble(line[3]);
      } else if (line[0].equals(network)) {
        db.put(Double.valueOf(line[1]), Double.valueOf(line[3]));
      }
    }
    boolean low = kind.equals("low");
    double fc = corner;
    bench.sampleRate = 96_000;
    bench.left = samples -> filtered(samples, 96_000, fc, low);
    Map<String, Figure> figures =
        bench.measure(
            "frequency-response", "{power: 1 W, band: 10 Hz..40 kHz, sweep: 4 s, drop: 3 dB}");
    Curve curve = FormulaBench.curve(figures.get("frequency response"));
    assertThat(curve.x(0)).isCloseTo(10, within(1e-9));
    assertThat(curve.x(curve.size() - 1)).isCloseTo(40_000, within(1e-6));
    for (double hz : List.of(20.0, 50.0, 100.0, 1000.0, 5000.0, 10_000.0, 20_000.0)) {
      assertThat(kitproof.signal.ResponseFigures.levelDb(curve, hz))
          .as(hz + " Hz")
          .isCloseTo(db.get(hz) - db.get(1000.0), within(0.03));
    }
    // Where the power is 3 dB below that at 1 kHz.
    double ratio = low ? 1000 / fc : fc / 1000;
    double factor = Math.sqrt((1 + ratio * ratio) * Math.pow(10, 0.3) - 1);
    double edge = low ? fc * factor : fc / factor;
    String there = low ? "upper corner" : "lower corner";
    String not = low ? "lower corner" : "upper corner";
    assertThat(number(figures.get(there))).isCloseTo(edge, within(edge * 0.01));
    assertThat(reason(figures.get(not)))
        .isEqualTo("the response does not fall by 3.0 dB between 10 Hz and 40000 Hz");
  }

  /** Exact at every frequency of the block, which ends in silence long enough to wrap around. */
  private static double[] filtered(double[] samples, double rate, double fc, boolean low) {
    int n = samples.length;
    double[] z = new double[2 * n];
    for (int i = 0; i < n; i++) {
      z[2 * i] = 20 * samples[i];
    }
    DoubleFFT_1D fft = new DoubleFFT_1D(n);
    fft.complexForward(z);
    for (int k = 0; k < n; k++) {
      double f = (k <= n / 2 ? k : k - n) * rate / n;
      double w = f / fc;
      double d = 1 + w * w;
      double re = low ? 1 / d : w * w / d;
      double im = low ? -w / d : w / d;
      double real = z[2 * k] * re - z[2 * k + 1] * im;
      z[2 * k + 1] = z[2 * k] * im + z[2 * k + 1] * re;
      z[2 * k] = real;
    }
    fft.complexInverse(z, true);
    double[] out = new double[n];
    for (int i = 0; i < n; i++) {
      out[i] = z[2 * i];
    }
    return out;
  }
}
