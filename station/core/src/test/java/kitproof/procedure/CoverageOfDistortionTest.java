package kitproof.procedure;

import static kitproof.procedure.DrawnBench.FLAT;
import static kitproof.procedure.DrawnBench.GAIN;
import static kitproof.procedure.DrawnBench.LOAD;

import java.util.Random;
import java.util.function.UnaryOperator;
import kitproof.signal.Levels;
import org.junit.jupiter.api.Test;

/** Distortion and intermodulation. See {@link DrawnBench}. */
class CoverageOfDistortionTest {
  /** What the station adds by itself where that is to count. */
  private static final String OWN =
      "residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -84.437 dB, noise: -140 dB}]\n";

  /** The level is known badly, so that it counts as much as the residual does. */
  private static FormulaBench levelledBadly(String residual) {
    return DrawnBench.of("20 mV", "2.4 V", residual + FLAT + LOAD);
  }

  /** The errors of such a bench. */
  private static DrawnBench.Errors drawn(Random random) {
    return DrawnBench.Errors.draw(random, 1e-3).worseInput(8);
  }

  /** A second harmonic of the unit and one of the station, whose phases nobody knows. */
  @Test
  void distortionHoldsItsTruth() throws Exception {
    Random random = new Random(3);
    DrawnBench.Tally thd = new DrawnBench.Tally("thd");
    DrawnBench.Tally both = new DrawnBench.Tally("thd+n");
    double second = 7e-4;
    double own = 6e-5;
    int draws = 120;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench = levelledBadly(OWN);
      DrawnBench.Errors errors = drawn(random);
      double load = 8 * (1 + 0.01 * random.nextGaussian());
      double phase = 2 * Math.PI * random.nextDouble();
      // Of a sine of amplitude a, x² is a²/2·(1 - cos 2wt): the station's is turned by the phase,
      // which the square of the unit's and that of its quadrature make without knowing a.
      UnaryOperator<double[]> unit =
          FormulaBench.curve(x -> GAIN * x + second * GAIN * x * GAIN * x);
      bench.left =
          played -> {
            double[] seen = errors.around(unit).apply(played);
            double[] turned = quadrature(played, 1000, 48_000);
            double scale = (1 + errors.output()) * GAIN;
            for (int i = 0; i < seen.length; i++) {
              double a = played[i] * scale;
              double b = turned[i] * scale;
              double size = Math.hypot(a, b);
              double cos2 = size == 0 ? 0 : (a * a - b * b) / size;
              double sin2 = size == 0 ? 0 : 2 * a * b / size;
              seen[i] += own * (Math.cos(phase) * cos2 + Math.sin(phase) * sin2);
            }
            return seen;
          };
      var unused = bench.measure("distortion", "{power: 1 W, harmonics: 3, listen: 100 ms}");
      double amplitude = Math.sqrt(2 * load);
      double truth = 100 * second * amplitude / 2;
      thd.add(bench.measured.get(0), truth);
      double noise = 100 * errors.noise() * Math.sqrt((20_000 - 20) / 24_000.0);
      double rest = Math.hypot(truth, noise / (amplitude / Math.sqrt(2)));
      both.add(bench.measured.get(1), rest);
    }
    thd.isAsStated();
    both.isAsStated();
  }

  /** A tone a quarter of its period late. */
  private static double[] quadrature(double[] tone, double hertz, double rate) {
    int quarter = (int) Math.round(rate / hertz / 4);
    double[] late = new double[tone.length];
    for (int i = quarter; i < late.length; i++) {
      late[i] = tone[i - quarter];
    }
    return late;
  }

  /**
   * The station's own product has a phase that nobody knows: that of a square of the tones as they
   * were some samples ago. It is as large as the station's distortion of one tone may be.
   */
  @Test
  void intermodulationHoldsItsTruth() throws Exception {
    Random random = new Random(13);
    DrawnBench.Tally second = new DrawnBench.Tally("difference-frequency distortion 2");
    DrawnBench.Tally product = new DrawnBench.Tally("product f2-f1");
    double square = 7e-4;
    double own = 6e-5;
    for (int d = 0; d < 60; d++) {
      FormulaBench bench = levelledBadly(OWN);
      DrawnBench.Errors errors = drawn(random);
      double load = 8 * (1 + 0.01 * random.nextGaussian());
      double one = Math.sqrt(2 * load) / 2;
      int late = random.nextInt(48);
      double station = own * 2 * one / (one * one);
      bench.left =
          errors.around(
              played -> {
                double[] out = new double[played.length];
                for (int i = 0; i < out.length; i++) {
                  double now = GAIN * played[i];
                  double then = i < late ? 0 : GAIN * played[i - late];
                  out[i] = now + square * now * now + station * then * then;
                }
                return out;
              });
      var unused = bench.measure("difference-frequency-distortion", "{power: 1 W, listen: 100 ms}");
      second.add(bench.measured.get(0), 100 * square * one / 2);
      product.add(bench.measured.get(2), Levels.db(square * one));
    }
    second.isAsStated();
    product.isAsStated();
  }

  /** Sidebands of a tone that a second one turns up and down; and what noise does to them. */
  @Test
  void modulationHoldsItsTruth() throws Exception {
    Random random = new Random(14);
    DrawnBench.Tally both = new DrawnBench.Tally("modulation distortion");
    double square = 2e-4;
    for (int d = 0; d < 40; d++) {
      FormulaBench bench = levelledBadly(DrawnBench.CLEAN);
      DrawnBench.Errors errors = drawn(random);
      double load = 8 * (1 + 0.01 * random.nextGaussian());
      double low = 0.8 * Math.sqrt(2 * load);
      bench.left = errors.around(FormulaBench.curve(x -> GAIN * x + square * GAIN * x * GAIN * x));
      var unused = bench.measure("modulation-distortion", "{power: 1 W, listen: 200 ms}");
      // Each of the two sidebands of x + s·x² is s·low of the higher tone.
      both.add(DrawnBench.named(bench, "modulation distortion"), 100 * 2 * square * low);
    }
    both.isAsStated();
  }
}
