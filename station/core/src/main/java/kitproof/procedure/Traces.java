package kitproof.procedure;

import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Unit;

/** A few periods of a waveform against time, for looking at. */
final class Traces {
  private static final int MOST_POINTS = 600;

  /** Of a sample, by which a time may be off for its rounding. */
  private static final double HARDLY = 1e-6;

  private Traces() {}

  /**
   * Where a wave first rises through zero.
   *
   * @return 0 if it never does
   */
  static int risingZero(double[] wave) {
    for (int i = 1; i < wave.length; i++) {
      if (wave[i - 1] < 0 && wave[i] >= 0) {
        return i;
      }
    }
    return 0;
  }

  /**
   * The samples from one on, against the time since then.
   *
   * @param seconds how long at least; it ends earlier where the samples do
   * @param scale what each sample is multiplied by
   */
  static Figure of(
      double[] samples, int from, double seconds, double rate, double scale, Unit unit) {
    int last = (int) Math.ceil(seconds * rate - HARDLY);
    int stride = last / MOST_POINTS + 1;
    int points = Math.min((last + stride - 1) / stride, (samples.length - from - 1) / stride) + 1;
    double[] time = new double[points];
    double[] value = new double[points];
    for (int i = 0; i < points; i++) {
      time[i] = i * stride / rate;
      value[i] = scale * samples[from + i * stride];
    }
    return new Figure.OfCurve(Curve.of(Unit.SECOND, time, unit, value));
  }
}
