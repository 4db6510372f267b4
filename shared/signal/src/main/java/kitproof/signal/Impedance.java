package kitproof.signal;

import java.util.function.DoubleFunction;
import kitproof.value.Curve;
import kitproof.value.Unit;
import org.apache.commons.math3.complex.Complex;

/**
 * A complex impedance against frequency, in ohms, found from voltages alone.
 *
 * <p>The voltages may be in any unit and relative to any drive, as long as both are the same and
 * share one origin of time: then what drives, gain and delay included, falls out of the quotient.
 */
public final class Impedance {
  private final double[] hz;
  private final Complex[] ohms;

  private Impedance(double[] hz, Complex[] ohms) {
    this.hz = hz;
    this.ohms = ohms;
  }

  /**
   * That of a source, from its voltage across two loads: {@code Z = R1·R2·(V2 − V1) / (V1·R2 −
   * V2·R1)}, the load-change method of IEC 60268-3 (from memory) with both ends loaded.
   *
   * @param atHz rising
   * @param first V1 by frequency
   * @param firstOhms R1, as measured
   * @param second V2 by frequency
   * @param secondOhms R2, as measured, not R1
   * @throws IllegalArgumentException also where the voltages are not those of a source with an
   *     impedance: none at all, or in the ratio of the loads
   */
  public static Impedance ofSource(
      double[] atHz,
      DoubleFunction<Complex> first,
      double firstOhms,
      DoubleFunction<Complex> second,
      double secondOhms) {
    Require.positive("first load", firstOhms);
    Require.positive("second load", secondOhms);
    if (firstOhms == secondOhms) {
      throw new IllegalArgumentException("two loads of " + firstOhms + " ohm; they must differ");
    }
    return of(
        atHz,
        hz -> {
          Complex v1 = first.apply(hz);
          Complex v2 = second.apply(hz);
          return v2.subtract(v1)
              .multiply(firstOhms * secondOhms)
              .divide(v1.multiply(secondOhms).subtract(v2.multiply(firstOhms)));
        });
  }

  /**
   * That of an input, from the output with and without a resistor in series: {@code Z = Rs·q/(1 −
   * q) − Rg} with {@code q} the output with it over the output without.
   *
   * @param atHz rising
   * @param without the output by frequency, the source alone in series
   * @param with the output by frequency, the resistor in series too
   * @param seriesOhms Rs, the resistor
   * @param sourceOhms Rg, the source's own, zero or more
   * @throws IllegalArgumentException also where the resistor makes no difference, or no output is
   *     left
   */
  public static Impedance ofInput(
      double[] atHz,
      DoubleFunction<Complex> without,
      DoubleFunction<Complex> with,
      double seriesOhms,
      double sourceOhms) {
    Require.positive("series resistor", seriesOhms);
    if (!(sourceOhms >= 0) || Double.isInfinite(sourceOhms)) {
      throw new IllegalArgumentException("a source of " + sourceOhms + " ohm");
    }
    return of(
        atHz,
        hz -> {
          if (with.apply(hz).abs() == 0) {
            throw new IllegalArgumentException(
                "nothing comes through the resistor at " + hz + " Hz");
          }
          Complex q = with.apply(hz).divide(without.apply(hz));
          return q.multiply(seriesOhms).divide(Complex.ONE.subtract(q)).subtract(sourceOhms);
        });
  }

  private static Impedance of(double[] atHz, DoubleFunction<Complex> formula) {
    Require.samples(atHz, 1);
    Complex[] ohms = new Complex[atHz.length];
    for (int i = 0; i < ohms.length; i++) {
      if (i > 0 && !(atHz[i] > atHz[i - 1])) {
        throw new IllegalArgumentException("frequency does not rise at point " + i);
      }
      ohms[i] = formula.apply(atHz[i]);
      if (!Double.isFinite(ohms[i].getReal()) || !Double.isFinite(ohms[i].getImaginary())) {
        throw new IllegalArgumentException(
            "no impedance follows from the voltages at " + atHz[i] + " Hz");
      }
    }
    return new Impedance(atHz.clone(), ohms);
  }

  /** Number of frequencies. */
  public int size() {
    return hz.length;
  }

  /** One of the frequencies. */
  public double frequencyHz(int index) {
    return hz[index];
  }

  /** The impedance at one of the frequencies. */
  public Complex ohms(int index) {
    return ohms[index];
  }

  /**
   * The impedance at a frequency, between points by straight lines of its two parts over a
   * logarithmic axis.
   *
   * @throws IllegalArgumentException outside the curve
   */
  public Complex at(double atHz) {
    int above = 0;
    while (above < hz.length && hz[above] < atHz) {
      above++;
    }
    if (above == hz.length || (above == 0 && hz[0] != atHz)) {
      throw new IllegalArgumentException(
          atHz + " Hz is outside " + hz[0] + " Hz to " + hz[hz.length - 1] + " Hz");
    }
    if (hz[above] == atHz) {
      return ohms[above];
    }
    double part = Math.log(atHz / hz[above - 1]) / Math.log(hz[above] / hz[above - 1]);
    return ohms[above - 1].multiply(1 - part).add(ohms[above].multiply(part));
  }

  /** Magnitude in ohms at a frequency, as {@link #at}. */
  public double magnitudeAt(double atHz) {
    return at(atHz).abs();
  }

  /** The damping factor at a frequency, as {@link #at}. */
  public double dampingFactorAt(double nominalOhms, double atHz) {
    return dampingFactor(nominalOhms, at(atHz));
  }

  /** Magnitude in ohms against frequency. */
  public Curve magnitude() {
    double[] size = new double[hz.length];
    for (int i = 0; i < size.length; i++) {
      size[i] = ohms[i].abs();
    }
    return Curve.of(Unit.HERTZ, hz, Unit.OHM, size);
  }

  /** Phase in degrees against frequency: above zero where the current lags, as in an inductor. */
  public Curve phase() {
    double[] degrees = new double[hz.length];
    for (int i = 0; i < degrees.length; i++) {
      degrees[i] = Math.toDegrees(ohms[i].getArgument());
    }
    return Curve.of(Unit.HERTZ, hz, Unit.DEGREE, degrees);
  }

  /**
   * Nominal load over the magnitude, against frequency (IEC 60268-3, from memory).
   *
   * @throws IllegalArgumentException where the impedance is nothing: its damping has no end
   */
  public Curve dampingFactor(double nominalOhms) {
    double[] factors = new double[hz.length];
    for (int i = 0; i < factors.length; i++) {
      factors[i] = dampingFactor(nominalOhms, ohms[i]);
    }
    return Curve.of(Unit.HERTZ, hz, Unit.ONE, factors);
  }

  /** The damping factor of one impedance. */
  public static double dampingFactor(double nominalOhms, Complex impedance) {
    Require.positive("nominal load", nominalOhms);
    if (impedance.abs() == 0) {
      throw new IllegalArgumentException("no damping factor of an impedance of 0 ohm");
    }
    return nominalOhms / impedance.abs();
  }
}
