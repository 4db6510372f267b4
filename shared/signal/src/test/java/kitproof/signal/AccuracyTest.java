package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import kitproof.value.Curve;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * What the station promises of its figures, on captures of 24 bits whose truth is known by
 * construction, with triangular dither and plainly rounded: over a grid of level, frequency, noise
 * and distortion.
 */
class AccuracyTest {
  private static final double RATE = 96_000;
  private static final int LENGTH = 1 << 16;
  private static final double STEP = Math.pow(2, -23);
  private static final int HARMONICS = 5;
  private static final Band BAND = new Band(20, 40_000);

  /**
   * A capture.
   *
   * @param hz the tone
   * @param peak amplitude, 1 is full scale
   * @param harmonicDb each of the harmonics 2 to 5, relative to the fundamental
   * @param noise white, peak of a uniform distribution
   * @param dither whether it is dithered before it is rounded
   * @param seed of dither and noise
   */
  record Case(double hz, double peak, double harmonicDb, double noise, boolean dither, long seed) {
    /**
     * A tenth of a decibel; more only where added noise allows no estimator better: five times the
     * standard deviation of a sine's amplitude in white noise, the root of 2/N of the noise, times
     * the 1.23 of a Hann window, which hears 1.5 bins.
     */
    double toleranceDb() {
      double rms = noise / Math.sqrt(3);
      double amplitude = peak * Math.pow(10, harmonicDb / 20);
      double deviation = rms * Math.sqrt(2.0 / LENGTH) / amplitude;
      return Math.max(0.1, 5 * 1.23 * 20 / Math.log(10) * deviation);
    }

    double[] samples() {
      double[] x = new double[LENGTH];
      for (int order = 1; order <= HARMONICS; order++) {
        double a = order == 1 ? peak : peak * Math.pow(10, harmonicDb / 20);
        x = Signals.sum(x, Signals.sine(a, order * hz, 0.7 * order, RATE, LENGTH));
      }
      x = Signals.sum(x, Signals.noise(seed, noise, LENGTH));
      return dither ? quantised(x, seed + 1) : rounded(x);
    }

    @Override
    public String toString() {
      return String.format(
          Locale.ROOT,
          "%.2f Hz, %.0f dB, harmonics %.0f dB, noise %.0e, %s, seed %d",
          hz,
          20 * Math.log10(peak),
          harmonicDb,
          noise,
          dither ? "dithered" : "rounded",
          seed);
    }
  }

  private static Stream<Case> grid(double... hertz) {
    Stream.Builder<Case> cases = Stream.builder();
    long seed = 100;
    for (double hz : hertz) {
      for (double levelDb : new double[] {-0.5, -12, -24}) {
        for (double harmonicDb : new double[] {-40, -80, -110}) {
          for (double noise : new double[] {0, 1e-6}) {
            for (boolean dither : new boolean[] {true, false}) {
              seed += 10;
              cases.add(new Case(hz, Math.pow(10, levelDb / 20), harmonicDb, noise, dither, seed));
            }
          }
        }
      }
    }
    return cases.build();
  }

  /** On exact bins, as the station places its own tones. */
  static Stream<Case> coherent() {
    return Stream.of(50.0, 1000.0, 7000.0)
        .flatMap(hz -> grid(CoherentTone.near(hz, RATE, LENGTH).frequencyHz()));
  }

  /** Anywhere, as in a capture that another clock made. */
  static Stream<Case> free() {
    return grid(61.37, 997.0123, 6543.21);
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("coherent")
  void levelAndHarmonicsOfACoherentTone(Case c) {
    int cycles = (int) Math.round(c.hz * LENGTH / RATE);
    check(c, ToneAnalysis.coherent(c.samples(), RATE, cycles, BAND, HARMONICS));
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("free")
  void levelHarmonicsAndFrequencyOfAFreeTone(Case c) {
    ToneFigures figures = ToneAnalysis.fitted(c.samples(), RATE, c.hz * 1.02, BAND, HARMONICS);
    assertThat(figures.frequencyHz()).isCloseTo(c.hz, within(1e-6 * c.hz));
    check(c, figures);
  }

  private static void check(Case c, ToneFigures figures) {
    double levelDb = 20 * Math.log10(figures.levelVolts() * Math.sqrt(2) / c.peak);
    assertThat(levelDb).isCloseTo(0, within(0.005));
    for (int order = 2; order <= HARMONICS; order++) {
      double db = 20 * Math.log10(figures.harmonic(order).orElseThrow().ratio());
      assertThat(db).as("harmonic " + order).isCloseTo(c.harmonicDb, within(c.toleranceDb()));
    }
    double thdDb = 20 * Math.log10(figures.thd());
    assertThat(thdDb)
        .isCloseTo(c.harmonicDb + 10 * Math.log10(HARMONICS - 1), within(c.toleranceDb()));
  }

  /** From near full scale to 80 dB below it, over the whole band, on bins and between them. */
  @ParameterizedTest(name = "{0} Hz")
  @ValueSource(doubles = {25, 60, 440, 1000, 5000, 12_000, 20_000, 39_000})
  void levelOfATone(double hertz) {
    for (double levelDb : new double[] {-0.1, -6, -20, -40, -60, -80}) {
      double peak = Math.pow(10, levelDb / 20);
      CoherentTone tone = CoherentTone.near(hertz, RATE, LENGTH);
      double[] exact = Signals.sine(peak, tone.frequencyHz(), 0.4, RATE, LENGTH);
      double[] between = Signals.sine(peak, hertz + 0.37, 0.4, RATE, LENGTH);
      for (double[] x : List.of(quantised(exact, 7), rounded(exact))) {
        assertLevel(levelDb, ToneAnalysis.coherent(x, RATE, tone.cycles(), BAND, 2));
      }
      for (double[] x : List.of(quantised(between, 8), rounded(between))) {
        assertLevel(levelDb, ToneAnalysis.fitted(x, RATE, hertz, BAND, 2));
      }
    }
  }

  private static void assertLevel(double levelDb, ToneFigures figures) {
    assertThat(20 * Math.log10(figures.levelVolts() * Math.sqrt(2)))
        .isCloseTo(levelDb, within(0.005));
  }

  /** Rounded to 24 bits as they are. */
  private static double[] rounded(double[] x) {
    return Signals.map(x, v -> Math.rint(v / STEP) * STEP);
  }

  /** Rounded to 24 bits with triangular dither. */
  private static double[] quantised(double[] x, long seed) {
    double[] one = Signals.noise(seed, STEP / 2, x.length);
    double[] other = Signals.noise(seed + 1000, STEP / 2, x.length);
    double[] rounded = new double[x.length];
    for (int n = 0; n < x.length; n++) {
      rounded[n] = Math.rint((x[n] + one[n] + other[n]) / STEP) * STEP;
    }
    return rounded;
  }

  /**
   * First-order sections, whose drop is known in closed form, through the sweep of the example
   * plan. A sweep that is shorter for its lowest frequency (less than some 30 of its cycles) is not
   * true to half a percent in its first octave.
   */
  @ParameterizedTest(name = "{0} Hz and {1} Hz, {2} dB")
  @CsvSource({"17, 23000, 1", "12, 33000, 3", "40, 12000, 1", "40, 12000, 3", "25, 18000, 0.5"})
  void cornersOfASweepThroughKnownNetworks(double low, double high, double drop) {
    Sweep sweep = Sweep.synchronised(10, 45_000, 3, RATE);
    double[] played = Arrays.copyOf(sweep.samples(0.5), sweep.length() + 30_000);
    double[] through = lowPass(highPass(played, low), high);
    through = quantised(through, 1);
    Curve curve =
        ResponseFigures.relativeTo(
            SweepAnalysis.response(sweep, 0.5, through)
                .magnitudeDb(ResponseFigures.logSpaced(10, 45_000, 12)),
            1000);
    assertThat(ResponseFigures.lowerCornerHz(curve, drop, 1000).orElseThrow())
        .isCloseTo(corner(low, high, drop, true), within(corner(low, high, drop, true) * 0.005));
    assertThat(ResponseFigures.upperCornerHz(curve, drop, 1000).orElseThrow())
        .isCloseTo(corner(low, high, drop, false), within(corner(low, high, drop, false) * 0.005));
  }

  /** The two sections by the bilinear transform, whose response is known in closed form. */
  private static double[] lowPass(double[] x, double hz) {
    double k = Math.tan(Math.PI * hz / RATE);
    double[] y = new double[x.length];
    double before = 0;
    for (int n = 0; n < x.length; n++) {
      y[n] = (k * (x[n] + before) + (1 - k) * (n > 0 ? y[n - 1] : 0)) / (1 + k);
      before = x[n];
    }
    return y;
  }

  private static double[] highPass(double[] x, double hz) {
    double[] y = lowPass(x, hz);
    for (int n = 0; n < x.length; n++) {
      y[n] = x[n] - y[n];
    }
    return y;
  }

  private static double db(double hz, double low, double high) {
    double w = Math.tan(Math.PI * hz / RATE);
    double up = Math.tan(Math.PI * low / RATE) / w;
    double down = w / Math.tan(Math.PI * high / RATE);
    return -10 * Math.log10((1 + up * up) * (1 + down * down));
  }

  private static double corner(double low, double high, double drop, boolean lower) {
    double wanted = db(1000, low, high) - drop;
    double below = lower ? 1 : 1000;
    double above = lower ? 1000 : 47_000;
    for (int i = 0; i < 100; i++) {
      double middle = Math.sqrt(below * above);
      if (db(middle, low, high) < wanted == lower) {
        below = middle;
      } else {
        above = middle;
      }
    }
    return below;
  }
}
