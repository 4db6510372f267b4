package kitproof.signal;

import java.util.Arrays;

/**
 * A captured square wave of another clock, brought onto one with a whole number of samples per
 * period.
 */
public final class SquareWaveCapture {
  private static final int ORDERS = 9;

  private final double[] volts;
  private final SquareWave wave;

  private SquareWaveCapture(double[] volts, SquareWave wave) {
    this.volts = volts;
    this.wave = wave;
  }

  /**
   * Finds the frequency and resamples.
   *
   * @param volts four periods or more and a little
   * @param rate samples per second
   * @param roughHz the frequency within a tenth; 0 for the strongest line
   * @throws IllegalArgumentException also if there is no steady wave
   */
  public static SquareWaveCapture of(double[] volts, double rate, double roughHz) {
    double start =
        roughHz > 0 ? ToneFinder.near(volts, rate, roughHz) : ToneFinder.strongest(volts, rate);
    int period = (int) Math.rint(rate / start);
    if (period < 16 || volts.length < 4L * period + 4 * Resampler.EDGE) {
      throw new IllegalArgumentException(
          volts.length + " samples of a square wave with " + period + " per period");
    }
    // Above the ninth the harmonics are far away in bins, where the raised cosine hides them.
    int orders = Math.min(ORDERS, (period - 2) / 2);
    double omega =
        HarmonicFit.free(volts, 2 * Math.PI * start / rate, orders, Weighting.HANN).omega();
    double ratio = period * omega / (2 * Math.PI);
    double[] fitting = Resampler.of(volts, ratio);
    int edge = Resampler.EDGE + 1;
    int periods = (fitting.length - 2 * edge) / period;
    return new SquareWaveCapture(
        Arrays.copyOfRange(fitting, edge, edge + periods * period),
        new SquareWave(period, rate * ratio));
  }

  /** Whole periods. */
  public double[] volts() {
    return volts.clone();
  }

  /** The wave as the clock that fits it would have played it. */
  public SquareWave wave() {
    return wave;
  }
}
