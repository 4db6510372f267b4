package kitproof.signal;

import java.util.function.DoubleUnaryOperator;

/**
 * Takes level and phase of a linear path out of samples that came through it.
 *
 * <p>Works on samples, so that levels, spectra and curves which are computed from them are right
 * alike. What came before the first sample is taken as silence, what would come after the last one
 * as its mirror image that fades: signals begin and end in silence, and noise has no corner there.
 */
public final class PathInverse {
  /** A correction has died out after this many samples, as far as they would show. */
  private static final int TAIL = 32768;

  /** The integration that undoes a coupling capacitor leaks this much lower than its corner. */
  private static final double LEAKS_LOWER = 20;

  private PathInverse() {}

  /**
   * Undoes a coupling capacitor: a first-order high-pass. It looks at nothing that comes later, so
   * that the end of a signal leaves no trace before it, as {@link #undo} would at low frequencies.
   *
   * <p>Down to a twentieth of the corner: what is left at a frequency f is a level of 10·lg(1 +
   * (c/20f)²) dB and a phase of arctan(c/20f).
   *
   * @param cornerHz of the high-pass; 0 for none
   */
  public static double[] undoCoupling(double[] samples, double rateHz, double cornerHz) {
    double[] undone = samples.clone();
    if (cornerHz <= 0) {
      return undone;
    }
    double corner = Math.tan(Math.PI * cornerHz / rateHz);
    double leak = corner / LEAKS_LOWER;
    double x1 = 0;
    double y1 = 0;
    for (int i = 0; i < undone.length; i++) {
      double x = undone[i];
      double y = ((1 + corner) * x - (1 - corner) * x1 + (1 - leak) * y1) / (1 + leak);
      x1 = x;
      y1 = y;
      undone[i] = y;
    }
    return undone;
  }

  /**
   * The samples as they were before the path.
   *
   * @param samples what came through it
   * @param rateHz samples per second
   * @param level of the path in dB at a frequency in Hz; also asked at 0
   * @param phase of the path in degrees at a frequency in Hz
   * @return as many samples
   */
  public static double[] undo(
      double[] samples, double rateHz, DoubleUnaryOperator level, DoubleUnaryOperator phase) {
    if (samples.length == 0) {
      return samples.clone();
    }
    int length = Fft.powerOfTwo(samples.length + 2L * TAIL);
    double[] data = new double[length];
    System.arraycopy(samples, 0, data, 0, samples.length);
    extend(data, samples);
    Fft.forward(data);
    data[0] *= factor(level.applyAsDouble(0));
    double half = rateHz / 2;
    data[1] *=
        factor(level.applyAsDouble(half)) * Math.cos(Math.toRadians(phase.applyAsDouble(half)));
    for (int bin = 1; bin < length / 2; bin++) {
      double hertz = bin * rateHz / length;
      double by = factor(level.applyAsDouble(hertz));
      double turn = -Math.toRadians(phase.applyAsDouble(hertz));
      double re = data[2 * bin];
      double im = data[2 * bin + 1];
      double cos = by * Math.cos(turn);
      double sin = by * Math.sin(turn);
      data[2 * bin] = re * cos - im * sin;
      data[2 * bin + 1] = re * sin + im * cos;
    }
    Fft.inverse(data);
    double[] undone = new double[samples.length];
    System.arraycopy(data, 0, undone, 0, undone.length);
    return undone;
  }

  private static double factor(double level) {
    return Levels.ratio(-level);
  }

  private static void extend(double[] data, double[] samples) {
    int n = samples.length;
    for (int i = 0; i < Math.min(TAIL, n - 1); i++) {
      double fade = 0.5 * (1 + Math.cos(Math.PI * i / TAIL));
      data[n + i] = samples[n - 2 - i] * fade;
    }
  }
}
