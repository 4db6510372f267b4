package kitproof.signal;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;

/**
 * A square wave whose edges are as steep as the sample rate can carry without ringing of their own:
 * odd harmonics under a Gaussian slope that ends below half the sample rate.
 *
 * @param period samples, at least 16
 * @param sampleRateHz samples per second
 */
public record SquareWave(int period, double sampleRateHz) {
  /** Beyond this part of the sample rate the converter's own filter falls. */
  private static final double HIGHEST_OF_RATE = 0.45;

  /** What the Gaussian leaves of a harmonic there; what is missing beyond would ring less. */
  private static final double LEFT_AT_HIGHEST = 0.03;

  public SquareWave {
    Require.positive("sample rate", sampleRateHz);
    if (period < 16) {
      throw new IllegalArgumentException("a square wave of " + period + " samples per period");
    }
  }

  /** The square wave of a whole number of samples that is nearest to a frequency. */
  public static SquareWave near(double hz, double sampleRateHz) {
    Require.positive("frequency", hz);
    return new SquareWave((int) Math.rint(Math.min(1e9, sampleRateHz / hz)), sampleRateHz);
  }

  public double frequencyHz() {
    return sampleRateHz / period;
  }

  /** The last harmonic in it, an odd one. */
  int highestHarmonic() {
    int highest = (int) Math.floor(HIGHEST_OF_RATE * period);
    return highest % 2 == 1 ? highest : highest - 1;
  }

  /**
   * From the middle of a rising edge on.
   *
   * @param peakVolts of the flat top
   * @param length samples, any number
   */
  public double[] samples(double peakVolts, int length) {
    double[] samples = new double[length];
    double slope = Math.log(LEFT_AT_HIGHEST) / (HIGHEST_OF_RATE * HIGHEST_OF_RATE);
    for (int harmonic = 1; harmonic <= highestHarmonic(); harmonic += 2) {
      double ofRate = (double) harmonic / period;
      double amplitude = 4 / (Math.PI * harmonic) * Math.exp(slope * ofRate * ofRate);
      for (int n = 0; n < Math.min(period, length); n++) {
        long phase = (long) harmonic * n % period;
        samples[n] += peakVolts * amplitude * Math.sin(2 * Math.PI * phase / period);
      }
    }
    for (int n = period; n < length; n++) {
      samples[n] = samples[n - period];
    }
    return samples;
  }

  /**
   * A captured period as it would be with its harmonics changed: what an error of a path does.
   *
   * @param period one period; only its odd harmonics are kept
   * @param levelDb how much more of each, by frequency
   * @param degrees how much each is turned, by frequency
   */
  public double[] changed(
      double[] period, DoubleUnaryOperator levelDb, DoubleUnaryOperator degrees) {
    Require.samples(period, this.period);
    double[] spectrum = Arrays.copyOf(period, this.period);
    Fft.forward(spectrum);
    double[] made = new double[this.period];
    for (int harmonic = 1; harmonic <= highestHarmonic(); harmonic += 2) {
      double hertz = harmonic * frequencyHz();
      double size = Levels.ratio(levelDb.applyAsDouble(hertz));
      double turn = Math.toRadians(degrees.applyAsDouble(hertz));
      double re = Fft.re(spectrum, harmonic);
      double im = Fft.im(spectrum, harmonic);
      made[2 * harmonic] = size * (re * Math.cos(turn) - im * Math.sin(turn));
      made[2 * harmonic + 1] = size * (re * Math.sin(turn) + im * Math.cos(turn));
    }
    Fft.inverse(made);
    return made;
  }

  /** 10–90 % rise time of its own edges, seconds. */
  public double riseSeconds() {
    return EdgeFigures.of(samples(1, period), this).riseSeconds();
  }
}
