package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.Random;
import java.util.function.UnaryOperator;
import kitproof.calibration.Calibration;
import kitproof.driver.Reading;
import kitproof.signal.Levels;
import kitproof.signal.PathInverse;
import kitproof.uncertainty.Coverage;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/**
 * Whether the intervals that procedures give hold the truth as often as they say: benches whose
 * errors are drawn from the distributions that their calibration states, as JCGM 101:2008 has it,
 * are measured by the real procedures, and the truth, which each bench knows, is looked for in the
 * interval of 95 %.
 *
 * <p>Seeds are fixed. An interval that is half as wide as it should be holds the truth in 67 % of
 * the draws, one twice as wide in more than 99.9 %.
 */
class CoverageOfProceduresTest {
  private static final double STATED = 0.95;
  private static final double GAIN = 10;

  /** Whether the truth lies in the interval of a measurement, by the index of a curve's point. */
  private static boolean holds(Measurement found, int index, double truth) {
    Uncertainty u = found.uncertainty();
    assertThat(u).as(found.title() + ": " + found.note()).isNotNull();
    double value =
        found.figure() instanceof Figure.OfCurve of
            ? of.curve().y(index)
            : FormulaBench.number(found.figure());
    double k = Coverage.factor(STATED, u.degreesOfFreedom(index));
    return truth >= value - k * u.below(index) && truth <= value + k * u.above(index);
  }

  private static void requireCoverage(String what, int held, int draws) {
    assertThat((double) held / draws).as(what + " of " + draws).isBetween(0.90, 0.99);
  }

  private static FormulaBench bench(String more) {
    FormulaBench bench = new FormulaBench();
    bench.calibration =
        Calibration.read(
                "c.yaml",
                """
                bench: formula
                date: 2026-11-26
                outputs: [{channel: left, full-scale: 7.0710678 V, u: 20 mV}]
                inputs: [{channel: left, full-scale: 70.710678 V, u: 300 mV, dof: 20}]
                """
                    + more)
            .value();
    return bench;
  }

  private static final String FLAT =
      """
      paths:
        - channel: left
          points:
            - {at: 1 Hz, level: 0 dB, u: 0 dB, phase: 0 deg}
            - {at: 24 kHz, level: 0 dB, u: 0 dB, phase: 0 deg}
      """;

  /** What a draw has for errors: of the output, of the input, and noise in volts. */
  private record Errors(double output, double input, double noise, Random random) {
    static Errors draw(Random random, double noise) {
      return new Errors(
          random.nextGaussian() * 20e-3 / 7.0710678,
          Student.of(random, 20) * 0.3 / 70.710678,
          noise,
          random);
    }

    /** A unit between such an output and such an input. */
    UnaryOperator<double[]> around(UnaryOperator<double[]> unit) {
      return played -> {
        double[] driven = played.clone();
        Arrays.setAll(driven, i -> played[i] * (1 + output));
        double[] out = unit.apply(driven);
        double[] seen = new double[out.length];
        Arrays.setAll(seen, i -> out[i] * (1 + input) + noise * random.nextGaussian());
        return seen;
      };
    }
  }

  /** A truth about an estimate whose standard uncertainty has few degrees of freedom. */
  private static final class Student {
    static double of(Random random, int degrees) {
      double squares = 0;
      for (int i = 0; i < degrees; i++) {
        squares += Math.pow(random.nextGaussian(), 2);
      }
      return random.nextGaussian() / Math.sqrt(squares / degrees);
    }
  }

  @Test
  void aGainHoldsItsTruth() throws Exception {
    Random random = new Random(1);
    int held = 0;
    int draws = 120;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench = bench(FLAT);
      bench.left = Errors.draw(random, 0.1).around(FormulaBench.curve(x -> GAIN * x));
      var unused = bench.measure("gain", "power: 1 W");
      held += holds(bench.measured.get(0), 0, Levels.db(GAIN)) ? 1 : 0;
    }
    requireCoverage("gain", held, draws);
  }

  /**
   * The error of the path at each of its points, and straight lines between, as it is corrected.
   */
  @Test
  void aResponseHoldsItsTruth() throws Exception {
    Random random = new Random(2);
    double[] at = {20, 100, 1000, 5000, 20_000};
    double[] u = {0.05, 0.02, 0, 0.03, 0.06};
    int held = 0;
    int points = 0;
    for (int d = 0; d < 25; d++) {
      StringBuilder path = new StringBuilder("paths:\n  - channel: left\n    points:\n");
      double[] error = new double[at.length];
      for (int i = 0; i < at.length; i++) {
        path.append(
            "      - {at: " + at[i] + " Hz, level: 0 dB, phase: 0 deg, u: " + u[i] + " dB}\n");
        error[i] = u[i] * random.nextGaussian();
      }
      FormulaBench bench = bench(path.toString());
      Errors errors = Errors.draw(random, 0.05);
      bench.left =
          errors.around(
              x ->
                  PathInverse.undo(
                      FormulaBench.curve(v -> GAIN * v).apply(x),
                      48_000,
                      hertz -> -between(at, error, hertz),
                      hertz -> 0));
      var unused =
          bench.measure("frequency-response", "{power: 1 W, band: 20 Hz..20 kHz, sweep: 500 ms}");
      Measurement response = bench.measured.get(0);
      for (int i = 0; i < at.length; i++) {
        if (at[i] != 1000) {
          held += holds(response, index(response, at[i]), 0) ? 1 : 0;
          points++;
        }
      }
    }
    requireCoverage("frequency response", held, points);
  }

  private static int index(Measurement found, double x) {
    int nearest = 0;
    var curve = FormulaBench.curve(found.figure());
    for (int i = 1; i < curve.size(); i++) {
      nearest = Math.abs(curve.x(i) - x) < Math.abs(curve.x(nearest) - x) ? i : nearest;
    }
    return nearest;
  }

  private static double between(double[] at, double[] y, double hertz) {
    if (hertz <= at[0]) {
      return y[0];
    }
    for (int i = 1; i < at.length; i++) {
      if (hertz <= at[i]) {
        return y[i - 1]
            + (y[i] - y[i - 1]) * Math.log(hertz / at[i - 1]) / Math.log(at[i] / at[i - 1]);
      }
    }
    return y[at.length - 1];
  }

  private static final String LOAD =
      "resistors: [{route: load, resistance: 8 ohm, u: 80 mohm},"
          + " {route: other load, resistance: 6 ohm, u: 5 mohm}]\n";

  /** A second harmonic of the unit and one of the station, whose phases nobody knows. */
  @Test
  void distortionHoldsItsTruth() throws Exception {
    Random random = new Random(3);
    double second = 7e-4;
    double own = 6e-5;
    int thd = 0;
    int both = 0;
    int draws = 120;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench =
          bench(
              FLAT
                  + LOAD
                  + "residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -84.437 dB, noise: -140 dB}]\n");
      Errors of = Errors.draw(random, 1e-3);
      // The level is known badly here, so that it counts as much as the residual does.
      Errors errors = new Errors(of.output, of.input * 8, of.noise, random);
      bench.calibration =
          Calibration.read(
                  "c.yaml",
                  """
                  bench: formula
                  date: 2026-11-26
                  outputs: [{channel: left, full-scale: 7.0710678 V, u: 20 mV}]
                  inputs: [{channel: left, full-scale: 70.710678 V, u: 2.4 V, dof: 20}]
                  residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -84.437 dB, noise: -140 dB}]
                  """
                      + FLAT
                      + LOAD)
              .value();
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
            double scale = (1 + errors.output) * GAIN;
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
      thd += holds(bench.measured.get(0), 0, truth) ? 1 : 0;
      double noise = 100 * errors.noise * Math.sqrt((20_000 - 20) / 24_000.0);
      double rest = Math.hypot(truth, noise / (amplitude / Math.sqrt(2)));
      both += holds(bench.measured.get(1), 0, rest) ? 1 : 0;
    }
    requireCoverage("thd", thd, draws);
    requireCoverage("thd+n", both, draws);
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

  @Test
  void anOutputImpedanceHoldsItsTruth() throws Exception {
    Random random = new Random(4);
    double ohms = 0.5;
    int held = 0;
    int draws = 60;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench = bench(FLAT + LOAD.replace("80 mohm", "5 mohm"));
      double first = 8 + 5e-3 * random.nextGaussian();
      double other = 6 + 5e-3 * random.nextGaussian();
      Errors errors = Errors.draw(random, 0.01);
      bench.left = errors.around(FormulaBench.curve(x -> GAIN * x * first / (first + ohms)));
      bench.otherLeft = errors.around(FormulaBench.curve(x -> GAIN * x * other / (other + ohms)));
      var unused =
          bench.measure(
              "output-impedance",
              "{power: 1 W, second-load: other, sweep: 500 ms, band: 50 Hz..15 kHz}");
      held += holds(bench.measured.get(3), 0, ohms) ? 1 : 0;
    }
    requireCoverage("output impedance", held, draws);
  }

  /** The output's part in the path is drawn too: volts by themselves are off by it. */
  @Test
  void powerAndSensitivityHoldTheirTruth() throws Exception {
    Random random = new Random(5);
    String path =
        """
        paths:
          - channel: left
            points:
              - {at: 1 Hz, level: -0.06 dB, u: 0.01 dB, phase: 0 deg}
              - {at: 24 kHz, level: -0.06 dB, u: 0.01 dB, phase: 0 deg}
        residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -110 dB, noise: -120 dB}]
        """;
    String settings =
        "{powers: 2 W..40 W, rated: 5 W, until: 2 %, per-decade: 16, listen: 20 ms, band: 20 Hz..10 kHz}";
    UnaryOperator<double[]> unit = FormulaBench.curve(x -> 20 * Math.tanh(GAIN * x / 20));
    FormulaBench exact = new FormulaBench();
    exact.sampleRate = 24_000;
    exact.left = unit;
    double volts = 0;
    double sensitivity = 0;
    var unused0 =
        exact.measure(
            "distortion-against-power", settings.replace("per-decade: 16", "per-decade: 50"));
    for (Measurement each : exact.measured) {
      volts =
          each.name().equals("power at 1 %")
              ? Math.sqrt(FormulaBench.number(each.figure()) * 8)
              : volts;
    }
    int power = 0;
    int input = 0;
    int draws = 60;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench = bench(path + LOAD);
      bench.sampleRate = 24_000;
      Errors errors = Errors.draw(random, 1e-3);
      double share = Math.pow(10, -0.06 * random.nextDouble() / 20);
      double left = Math.pow(10, 0.01 * random.nextGaussian() / 20);
      double load = 8 * (1 + 0.01 * random.nextGaussian());
      UnaryOperator<double[]> behind =
          x -> {
            double[] driven = unit.apply(FormulaBench.curve(v -> v * share).apply(x));
            return FormulaBench.curve(v -> v * left / share).apply(driven);
          };
      bench.left = errors.around(behind);
      var unused = bench.measure("distortion-against-power", settings);
      sensitivity = inputFor(Math.sqrt(5 * load * 2)) / Math.sqrt(2);
      for (Measurement each : bench.measured) {
        if (each.name().equals("power at 1 %")) {
          power += holds(each, 0, volts * volts / load) ? 1 : 0;
        } else if (each.name().equals("input sensitivity")) {
          input += holds(each, 0, sensitivity) ? 1 : 0;
        }
      }
    }
    requireCoverage("power at 1 %", power, draws);
    requireCoverage("input sensitivity", input, draws);
  }

  /** The drive whose output has a fundamental of this peak, by bisection over one cycle. */
  private static double inputFor(double peak) {
    double low = 0;
    double high = 10;
    for (int i = 0; i < 60; i++) {
      double middle = (low + high) / 2;
      double sum = 0;
      for (int k = 0; k < 4096; k++) {
        double sine = Math.sin(2 * Math.PI * k / 4096);
        sum += 20 * Math.tanh(GAIN * middle * sine / 20) * sine / 2048;
      }
      if (sum < peak) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }

  /** The station's own noise is as it was calibrated and can only have added. */
  @Test
  void aNoiseHoldsItsTruth() throws Exception {
    Random random = new Random(6);
    int held = 0;
    int draws = 50;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench =
          bench(
              FLAT
                  + LOAD
                  + "residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -120 dB, noise: -140 dB}]\n");
      bench.sampleRate = 24_000;
      double noise = 1e-3;
      bench.left = Errors.draw(random, noise).around(FormulaBench.curve(x -> GAIN * x));
      Measurement found =
          bench.all("noise", "{rated: 10 W, listen: 1 s, band: 20 Hz..10 kHz}").get(0);
      double inBand = noise * Math.sqrt((10_000 - 20) / 12_000.0);
      held += holds(found, 0, Levels.db(inBand)) ? 1 : 0;
    }
    requireCoverage("noise", held, draws);
  }

  @Test
  void directVoltsHoldTheirTruth() throws Exception {
    Random random = new Random(7);
    double truth = 330;
    int held = 0;
    int draws = 400;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench =
          bench(
              "instruments: {meter: {accuracy: [{function: hv, limits: \"±(0.03 % + 1 digit)\","
                  + " resolution: 0.1 V}]}}\n");
      double limit = 0.0003 * truth + 0.1;
      double error = limit * (2 * random.nextDouble() - 1);
      Reading[] readings = new Reading[5];
      for (int i = 0; i < readings.length; i++) {
        double volts = truth + error + 0.25 * random.nextGaussian();
        readings[i] = new Reading.Value(Quantity.of(Math.rint(volts * 10) / 10, Unit.VOLT));
      }
      bench.readings(readings[0], Arrays.copyOfRange(readings, 1, 5));
      var unused =
          bench.measure("reading", "{meter: meter, function: hv, result: hv rail, count: 5}");
      held += holds(bench.measured.get(0), 0, truth) ? 1 : 0;
    }
    requireCoverage("direct volts", held, draws);
  }
}
