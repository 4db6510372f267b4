package kitproof.peers;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.DoubleStream;

/**
 * What devices under test do, by hand: from the formulas of the plugins (swh-plugins, ladspa-sdk)
 * and the laws of circuits. Nothing of the station's own analysis is in it.
 */
final class KnownDevices {
  static final double RATE = 48_000;

  private KnownDevices() {}

  static double decibels(double ratio) {
    return 20 * Math.log10(ratio);
  }

  /** Places evenly spaced on a logarithmic axis. */
  static double[] places(double low, double high, int count) {
    double[] places = new double[count];
    Arrays.setAll(places, i -> low * Math.pow(high / low, i / (count - 1.0)));
    return places;
  }

  /** Where an increasing function has this value. */
  static double solve(DoubleUnaryOperator increasing, double value, double low, double high) {
    double from = low;
    double to = high;
    for (int i = 0; i < 200; i++) {
      double middle = (from + to) / 2;
      if (increasing.applyAsDouble(middle) < value) {
        from = middle;
      } else {
        to = middle;
      }
    }
    return (from + to) / 2;
  }

  /**
   * A second-order filter by the bilinear transform: 1/(1 + r s/c + (s/c)²) for the low-pass, with
   * s = j tan(pi f / rate) and c the same of the corner; r is the plugin's "resonance".
   */
  record SecondOrder(double cornerHz, double r) {
    private double warped(double hz) {
      return Math.tan(Math.PI * hz / RATE) / Math.tan(Math.PI * cornerHz / RATE);
    }

    double lowPass(double hz) {
      double s = warped(hz);
      return 1 / Math.hypot(1 - s * s, r * s);
    }

    double lowPassRadians(double hz) {
      double s = warped(hz);
      return -Math.atan2(r * s, 1 - s * s);
    }

    double highPass(double hz) {
      double s = warped(hz);
      return s * s * lowPass(hz);
    }

    double highPassDegrees(double hz) {
      double s = warped(hz);
      return 180 - Math.toDegrees(Math.atan2(r * s, 1 - s * s));
    }

    /** Of its step: exp(-pi d / sqrt(1 - d²)), d the damping; any textbook of control. */
    double overshoot() {
      double d = r / 2;
      return Math.exp(-Math.PI * d / Math.sqrt(1 - d * d));
    }

    /** Of its step. */
    double ringingHz() {
      double natural = 2 * RATE * Math.tan(Math.PI * cornerHz / RATE);
      return natural * Math.sqrt(1 - r * r / 4) / (2 * Math.PI);
    }

    /** From 10 % to 90 % of the step's final value, in seconds, from the step response. */
    double riseSeconds() {
      double natural = 2 * RATE * Math.tan(Math.PI * cornerHz / RATE);
      double d = r / 2;
      double damped = Math.sqrt(1 - d * d);
      DoubleUnaryOperator step =
          t -> 1 - Math.exp(-d * t) * (Math.cos(damped * t) + d / damped * Math.sin(damped * t));
      return (solve(step, 0.9, 0, 3) - solve(step, 0.1, 0, 3)) / natural;
    }
  }

  /**
   * y = one T1(x) + two T2(x) + three T3(x) with Chebyshev's polynomials: of a full-scale sine the
   * harmonics are what stands there. By hand: y = (one - 3 three) x + 2 two x² + 4 three x³ and a
   * constant, which the plugin takes away.
   */
  record Polynomial(double one, double two, double three) {
    private double linear() {
      return one - 3 * three;
    }

    /** The drive for an output of this amplitude. */
    double drive(double output) {
      return solve(a -> linear() * a + 3 * three * a * a * a, output, 0, 1.2);
    }

    /** Second and third harmonic over the fundamental at this output amplitude. */
    double[] harmonics(double output) {
      double a = drive(output);
      return new double[] {two * a * a / output, three * a * a * a / output};
    }

    /**
     * What the plugin makes of that sine at a phase of it, in shares of full scale.
     *
     * @param fundamental whether that is in it, or only what is left without
     */
    double wave(double output, double phase, boolean fundamental) {
      double[] ratio = harmonics(output);
      double left = -ratio[0] * Math.cos(2 * phase) - ratio[1] * Math.sin(3 * phase);
      return output * ((fundamental ? Math.sin(phase) : 0) + left);
    }

    /**
     * Two tones whose output amplitudes add up to {@code peak}, driven low : high as given.
     *
     * @return the products f2 ± f1 and f2 ± 2 f1 over the high tone; with equal tones the first is
     *     f2 - f1 and the second also 2 f2 - f1
     */
    double[] products(double low, double high, double peak) {
      DoubleUnaryOperator sum = k -> tone(k * low, k * high) + tone(k * high, k * low);
      double k = solve(sum, peak, 0, 1.2);
      double l = k * low;
      double h = k * high;
      double tone = tone(h, l);
      return new double[] {2 * two * l * h / tone, 3 * three * l * l * h / tone};
    }

    /** Output amplitude of one of two tones: cos³ gives it 3/4 of its own cube and 3/2 of a l². */
    private double tone(double own, double other) {
      return linear() * own + 4 * three * (0.75 * own * own * own + 1.5 * own * other * other);
    }
  }

  /**
   * A sine cut off at a level, sampled, harmonics above half the rate folded back: its power and
   * the rest in the band up to 20 kHz over all that is there. The sums are the definition's.
   */
  record Clipper(double level) {
    private static final int LENGTH = 1439;
    private static final int CYCLES = 30;

    /** What is left of a sine: amplitudes by order, and THD+N. */
    record Cut(double drive, double fundamental, double third, double thdPlusNoise) {}

    /** Of a sine of this amplitude. */
    Cut of(double drive) {
      double[] y = cut(drive);
      double squares = DoubleStream.of(y).map(v -> v * v).sum() / LENGTH;
      for (int bin = (int) (20_000 * LENGTH / RATE) + 1; bin <= LENGTH / 2; bin++) {
        double a = amplitude(y, bin);
        squares -= a * a / 2;
      }
      double fundamental = amplitude(y, CYCLES);
      double rest = Math.max(0, squares - fundamental * fundamental / 2);
      return new Cut(drive, fundamental, amplitude(y, 3 * CYCLES), Math.sqrt(rest / squares));
    }

    private double[] cut(double drive) {
      double[] y = new double[LENGTH];
      Arrays.setAll(
          y,
          i ->
              Math.max(
                  -level,
                  Math.min(level, drive * Math.sin(2 * Math.PI * CYCLES * (double) i / LENGTH))));
      return y;
    }

    /** The fundamental's amplitude at which THD+N is this ratio. */
    double amplitudeAt(double thdPlusNoise) {
      double drive = level;
      double step = level / 4;
      while (step > level * 1e-4) {
        while (of(drive + step).thdPlusNoise() < thdPlusNoise) {
          drive += step;
        }
        step /= 2;
      }
      return of(drive).fundamental();
    }

    /** The sine whose fundamental has this amplitude, above where it is cut off. */
    Cut withFundamental(double amplitude) {
      return of(solve(d -> amplitude(cut(d), CYCLES), amplitude, level, 20 * level));
    }

    private static double amplitude(double[] y, int bin) {
      double cosine = 0;
      double sine = 0;
      for (int i = 0; i < LENGTH; i++) {
        double angle = 2 * Math.PI * ((long) bin * i % LENGTH) / LENGTH;
        cosine += y[i] * Math.cos(angle);
        sine += y[i] * Math.sin(angle);
      }
      return Math.hypot(cosine, sine) * 2 / LENGTH;
    }
  }

  /** C-weighting, IEC 61672-1 annex E: the analytic curve, 0 dB at 1 kHz. */
  static double cWeighting(double hz) {
    double f = hz * hz;
    double weighted = 12194.0 * 12194.0 * f / ((f + 20.6 * 20.6) * (f + 12194.0 * 12194.0));
    return weighted * Math.pow(10, 0.062 / 20);
  }

  /** A-weighting, IEC 61672-1 annex E: the analytic curve, 0 dB at 1 kHz. */
  static double aWeighting(double hz) {
    double f = hz * hz;
    double weighted =
        12194.0
            * 12194.0
            * f
            * f
            / ((f + 20.6 * 20.6)
                * Math.sqrt((f + 107.7 * 107.7) * (f + 737.9 * 737.9))
                * (f + 12194.0 * 12194.0));
    return weighted * Math.pow(10, 2.0 / 20);
  }

  /** ITU-R BS.468-4, table 1 (from memory): response in dB at these frequencies. */
  private static final double[][] ITU_468 = {
    {31.5, -29.9}, {63, -23.9}, {100, -19.8}, {200, -13.8}, {400, -7.8}, {800, -1.9},
    {1000, 0}, {2000, 5.6}, {3150, 9.0}, {4000, 10.5}, {5000, 11.7}, {6300, 12.2},
    {7100, 12.0}, {8000, 11.4}, {9000, 10.1}, {10_000, 8.1}, {12_500, 0}, {14_000, -5.3},
    {16_000, -11.7}, {20_000, -22.2}, {31_500, -42.7}
  };

  /** The table, joined by straight lines on a logarithmic axis, and on beyond its ends. */
  static double itu468(double hz) {
    int i = 1;
    while (i < ITU_468.length - 1 && ITU_468[i][0] < hz) {
      i++;
    }
    double[] a = ITU_468[i - 1];
    double[] b = ITU_468[i];
    double share = Math.log(hz / a[0]) / Math.log(b[0] / a[0]);
    return Math.pow(10, (a[1] + share * (b[1] - a[1])) / 20);
  }
}
