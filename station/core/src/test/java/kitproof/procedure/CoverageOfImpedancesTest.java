package kitproof.procedure;

import static kitproof.procedure.DrawnBench.FLAT;
import static kitproof.procedure.DrawnBench.GAIN;
import static kitproof.procedure.DrawnBench.LOAD;
import static kitproof.procedure.DrawnBench.between;

import java.util.Random;
import kitproof.signal.PathInverse;
import kitproof.value.Measurement;
import org.junit.jupiter.api.Test;

/** Impedances and phases. See {@link DrawnBench}. */
class CoverageOfImpedancesTest {
  @Test
  void anOutputImpedanceHoldsItsTruth() throws Exception {
    Random random = new Random(4);
    DrawnBench.Tally held = new DrawnBench.Tally("output impedance");
    double ohms = 0.5;
    int draws = 60;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench = DrawnBench.of(FLAT + LOAD.replace("80 mohm", "5 mohm"));
      double first = 8 + 5e-3 * random.nextGaussian();
      double other = 6 + 5e-3 * random.nextGaussian();
      DrawnBench.Errors errors = DrawnBench.Errors.draw(random, 0.01);
      bench.left = errors.around(FormulaBench.curve(x -> GAIN * x * first / (first + ohms)));
      bench.otherLeft = errors.around(FormulaBench.curve(x -> GAIN * x * other / (other + ohms)));
      var unused =
          bench.measure(
              "output-impedance",
              "{power: 1 W, second-load: other, sweep: 500 ms, band: 50 Hz..15 kHz}");
      held.add(bench.measured.get(3), ohms);
    }
    held.isAsStated();
  }

  /** The resistor before the input and the interface's own output are off by what is stated. */
  @Test
  void anInputImpedanceHoldsItsTruth() throws Exception {
    Random random = new Random(14);
    DrawnBench.Tally figure = new DrawnBench.Tally("input impedance at 1 kHz");
    DrawnBench.Tally curve = new DrawnBench.Tally("input impedance");
    double ohms = 100e3;
    for (int d = 0; d < 100; d++) {
      FormulaBench bench =
          DrawnBench.of(FLAT + "resistors: [{route: series, resistance: 47 kohm, u: 50 ohm}]\n");
      double resistor = 47e3 + 50 * random.nextGaussian();
      double source = 600 + 200 * (2 * random.nextDouble() - 1);
      DrawnBench.Errors errors = DrawnBench.Errors.draw(random, 0.01);
      double direct = GAIN * ohms / (ohms + source);
      double through = GAIN * ohms / (ohms + source + resistor);
      bench.left = errors.around(FormulaBench.curve(x -> direct * x));
      bench.otherLeft = errors.around(FormulaBench.curve(x -> through * x));
      var unused =
          bench.measure(
              "input-impedance",
              "{power: 1 W, through-resistor: series, resistor: 50 kohm, source: 600 ohm,"
                  + " source-within: 200 ohm, sweep: 500 ms, band: 50 Hz..15 kHz}");
      Measurement found = DrawnBench.named(bench, "input impedance");
      figure.add(DrawnBench.named(bench, "input impedance at 1 kHz"), ohms);
      curve.add(found, DrawnBench.index(found, 5000), ohms);
    }
    figure.isAsStated();
    curve.isAsStated();
  }

  /** The phase of the path is off at each of its points, and the delay. */
  @Test
  void aPhaseHoldsItsTruth() throws Exception {
    Random random = new Random(12);
    DrawnBench.Tally held = new DrawnBench.Tally("phase");
    double[] at = {20, 100, 1000, 5000, 20_000};
    double[] u = {0.5, 0.1, 0.1, 0.2, 0.8};
    for (int d = 0; d < 16; d++) {
      StringBuilder path =
          new StringBuilder(
              "delays: [{channel: left, delay: 0 s, u: 50 ns, dof: 9}]\n"
                  + "paths:\n  - channel: left\n    points:\n");
      double[] error = new double[at.length];
      for (int i = 0; i < at.length; i++) {
        path.append("      - {at: " + at[i] + " Hz, level: 0 dB, u: 0 dB, phase: 0 deg,");
        path.append(" phase-u: " + u[i] + " deg, phase-dof: 12}\n");
        error[i] = u[i] * DrawnBench.student(random, 12);
      }
      double delay = 50e-9 * DrawnBench.student(random, 9);
      FormulaBench bench = DrawnBench.of(path.toString());
      bench.left =
          DrawnBench.Errors.draw(random, 0.02)
              .around(
                  x ->
                      PathInverse.undo(
                          FormulaBench.curve(v -> GAIN * v).apply(x),
                          48_000,
                          hertz -> 0,
                          hertz -> -between(at, error, hertz) + 360 * hertz * delay));
      var unused =
          bench.measure("frequency-response", "{power: 1 W, band: 20 Hz..20 kHz, sweep: 500 ms}");
      Measurement phase = DrawnBench.named(bench, "phase");
      for (double hertz : at) {
        held.add(phase, DrawnBench.index(phase, hertz), 0);
      }
    }
    held.isAsStated();
  }
}
