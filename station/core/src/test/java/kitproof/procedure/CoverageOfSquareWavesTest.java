package kitproof.procedure;

import static kitproof.procedure.DrawnBench.GAIN;
import static kitproof.procedure.DrawnBench.LOAD;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import java.util.function.UnaryOperator;
import kitproof.signal.PathInverse;
import kitproof.value.Curve;
import org.junit.jupiter.api.Test;

/** Edges and tops. See {@link DrawnBench}. */
class CoverageOfSquareWavesTest {
  private static final double RATE = 96_000;
  private static final double POLE = 12_000;
  private static final double MIDDLE = 10_000;

  private static final String PATH =
      """
      paths:
        - channel: left
          points:
            - {at: 1 Hz, level: 0 dB, u: 0.02 dB, phase: 0 deg, phase-u: 0.1 deg}
            - {at: 9.9 kHz, level: 0 dB, u: 0.02 dB, phase: 0 deg, phase-u: 0.1 deg}
            - {at: 10 kHz, level: 0 dB, u: 0.2 dB, phase: 0 deg, phase-u: 2 deg}
            - {at: 48 kHz, level: 0 dB, u: 0.2 dB, phase: 0 deg, phase-u: 2 deg}
      """;

  private static FormulaBench bench(UnaryOperator<double[]> unit) {
    FormulaBench bench = DrawnBench.of(PATH + LOAD);
    bench.sampleRate = RATE;
    bench.left = unit;
    return bench;
  }

  /** A unit of a gain and a response, and behind it a path that is off. */
  private static UnaryOperator<double[]> off(DoubleUnaryOperator level, DoubleUnaryOperator phase) {
    return x ->
        PathInverse.undo(
            FormulaBench.curve(v -> GAIN * v).apply(x),
            RATE,
            hertz -> -level.applyAsDouble(hertz),
            hertz -> -phase.applyAsDouble(hertz));
  }

  private static double split(double hertz, double below, double above) {
    return hertz < MIDDLE ? below : above;
  }

  /** What one pole does: 10-90 % in 2.197 of its time constants. */
  @Test
  void riseTimeHoldsItsTruth() throws Exception {
    Random random = new Random(31);
    DrawnBench.Tally rise = new DrawnBench.Tally("rise time");
    DrawnBench.Tally sag = new DrawnBench.Tally("sag");
    for (int d = 0; d < 16; d++) {
      double[] error = {
        0.02 * random.nextGaussian(), 0.2 * random.nextGaussian(),
        0.1 * random.nextGaussian(), 2 * random.nextGaussian()
      };
      FormulaBench bench =
          bench(
              DrawnBench.Errors.draw(random, 0.02)
                  .around(
                      off(
                          hertz ->
                              -10 * Math.log10(1 + hertz * hertz / POLE / POLE)
                                  + split(hertz, error[0], error[1]),
                          hertz ->
                              -Math.toDegrees(Math.atan(hertz / POLE))
                                  + split(hertz, error[2], error[3]))));
      var unused = bench.measure("square-wave", "{power: 1 W, listen: 60 ms}");
      rise.add(DrawnBench.named(bench, "rise time"), Math.log(9) / (2 * Math.PI * POLE));
      sag.add(DrawnBench.named(bench, "sag"), 0);
    }
    rise.isAtLeastAsStated();
    sag.isAtLeastAsStated();
  }

  /** The truth is what the same unit shows without noise and errors. */
  @Test
  void overshootAndRingingHoldTheirTruth() throws Exception {
    Random random = new Random(33);
    DrawnBench.Tally overshoot = new DrawnBench.Tally("overshoot");
    DrawnBench.Tally ringing = new DrawnBench.Tally("ringing frequency");
    DrawnBench.Tally wave = new DrawnBench.Tally("square wave");
    double natural = 14_000;
    double damping = 0.25;
    DoubleUnaryOperator level =
        hertz -> {
          double x = hertz / natural;
          return -10 * Math.log10(Math.pow(1 - x * x, 2) + Math.pow(2 * damping * x, 2));
        };
    DoubleUnaryOperator phase =
        hertz -> {
          double x = hertz / natural;
          return -Math.toDegrees(Math.atan2(2 * damping * x, 1 - x * x));
        };
    FormulaBench exact = bench(off(level, phase));
    var unused0 = exact.measure("square-wave", "{power: 1 W, listen: 60 ms}");
    double truth = FormulaBench.number(DrawnBench.named(exact, "overshoot").figure());
    double rings = FormulaBench.number(DrawnBench.named(exact, "ringing frequency").figure());
    Curve shape = FormulaBench.curve(DrawnBench.named(exact, "square wave").figure());
    for (int d = 0; d < 24; d++) {
      double[] error = {
        0.02 * random.nextGaussian(), 0.2 * random.nextGaussian(),
        0.1 * random.nextGaussian(), 2 * random.nextGaussian()
      };
      FormulaBench bench =
          bench(
              DrawnBench.Errors.draw(random, 0.02)
                  .around(
                      off(
                          hertz -> level.applyAsDouble(hertz) + split(hertz, error[0], error[1]),
                          hertz -> phase.applyAsDouble(hertz) + split(hertz, error[2], error[3]))));
      var unused = bench.measure("square-wave", "{power: 1 W, listen: 60 ms}");
      overshoot.add(DrawnBench.named(bench, "overshoot"), truth);
      ringing.add(DrawnBench.named(bench, "ringing frequency"), rings);
      for (int i = 20; i < 48; i += 9) {
        wave.add(DrawnBench.named(bench, "square wave"), i, shape.y(i));
      }
    }
    overshoot.isAtLeastAsStated();
    ringing.isAtLeastAsStated();
    wave.isAtLeastAsStated();
  }
}
