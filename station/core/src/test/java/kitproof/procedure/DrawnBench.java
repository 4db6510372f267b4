package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.Random;
import java.util.function.UnaryOperator;
import kitproof.calibration.Calibration;
import kitproof.uncertainty.Coverage;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Uncertainty;

/**
 * The frame of tests of whether the intervals that procedures give hold the truth as often as they
 * say: benches whose errors are drawn from the distributions that their calibration states, as JCGM
 * 101:2008 has it, are measured by the real procedures, and the truth, which each bench knows, is
 * looked for in the interval of 95 %.
 *
 * <p>Seeds are fixed. An interval that is half as wide as it should be holds the truth in 67 % of
 * the draws, one twice as wide in more than 99.9 %.
 */
final class DrawnBench {
  static final double GAIN = 10;

  /** Of the path nothing is wrong, in level or phase. */
  static final String FLAT =
      """
      paths:
        - channel: left
          points:
            - {at: 1 Hz, level: 0 dB, u: 0 dB, phase: 0 deg, phase-u: 0 deg}
            - {at: 24 kHz, level: 0 dB, u: 0 dB, phase: 0 deg, phase-u: 0 deg}
      """;

  static final String LOAD =
      "resistors: [{route: load, resistance: 8 ohm, u: 80 mohm},"
          + " {route: other load, resistance: 6 ohm, u: 5 mohm}]\n";

  /** A station that adds next to nothing. */
  static final String CLEAN =
      "residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -120 dB, noise: -140 dB}]\n";

  private static final double STATED = 0.95;

  private DrawnBench() {}

  /** How often the truth was in the interval of one result. */
  static final class Tally {
    private final String what;
    private int held;
    private int draws;

    Tally(String what) {
      this.what = what;
    }

    void add(Measurement found, double truth) {
      add(found, 0, truth);
    }

    /** Of the point of a curve. */
    void add(Measurement found, int index, double truth) {
      held += holds(found, index, truth) ? 1 : 0;
      draws++;
    }

    /** As often as it is said to be. */
    void isAsStated() {
      assertThat((double) held / draws).as(what + " of " + draws).isBetween(0.90, 0.99);
    }

    /** Or more often, where the truth has bounds that a normal distribution has not. */
    void isAtLeastAsStated() {
      assertThat((double) held / draws).as(what + " of " + draws).isGreaterThan(0.90);
    }
  }

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

  /** A bench of the errors of {@link Errors}. */
  static FormulaBench of(String more) {
    return of("20 mV", "300 mV", more);
  }

  /** A bench whose full scales are known to so much. */
  static FormulaBench of(String outputU, String inputU, String more) {
    FormulaBench bench = new FormulaBench();
    bench.calibration =
        Calibration.read(
                "c.yaml",
                """
                bench: formula
                date: 2026-11-26
                outputs:
                  - {channel: left, full-scale: 7.0710678 V, u: %1$s}
                  - {channel: right, full-scale: 7.0710678 V, u: %1$s}
                inputs:
                  - {channel: left, full-scale: 70.710678 V, u: %2$s, dof: 20}
                  - {channel: right, full-scale: 70.710678 V, u: %2$s, dof: 20}
                """
                        .formatted(outputU, inputU)
                    + more)
            .value();
    return bench;
  }

  /** The only result of this name. */
  static Measurement named(FormulaBench bench, String name) {
    return bench.measured.stream().filter(m -> m.name().equals(name)).findFirst().orElseThrow();
  }

  /** What a draw has for errors: of the output, of the input, and noise in volts. */
  record Errors(double output, double input, double noise, Random random) {
    static Errors draw(Random random, double noise) {
      return new Errors(
          random.nextGaussian() * 20e-3 / 7.0710678,
          student(random, 20) * 0.3 / 70.710678,
          noise,
          random);
    }

    /** The same with an input that is so many times worse. */
    Errors worseInput(double times) {
      return new Errors(output, input * times, noise, random);
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
  static double student(Random random, int degrees) {
    double squares = 0;
    for (int i = 0; i < degrees; i++) {
      squares += Math.pow(random.nextGaussian(), 2);
    }
    return random.nextGaussian() / Math.sqrt(squares / degrees);
  }

  /** The point of a curve that is nearest. */
  static int index(Measurement found, double x) {
    int nearest = 0;
    Curve curve = FormulaBench.curve(found.figure());
    for (int i = 1; i < curve.size(); i++) {
      nearest = Math.abs(curve.x(i) - x) < Math.abs(curve.x(nearest) - x) ? i : nearest;
    }
    return nearest;
  }

  /** Straight lines between points on a logarithmic axis, as a path is corrected. */
  static double between(double[] at, double[] y, double hertz) {
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
}
