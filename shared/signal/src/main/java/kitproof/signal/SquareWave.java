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
   * How high the peaks are of what came of it: half of what lies between the highest and the lowest
   * of the mean period, between its samples too.
   *
   * @param volts a whole number of periods, at least one
   */
  public double peakVolts(double[] volts) {
    if (volts.length < period || volts.length % period != 0) {
      throw new IllegalArgumentException(volts.length + " samples for periods of " + period);
    }
    double[] mean = new double[period];
    for (int i = 0; i < volts.length; i++) {
      mean[i % period] += volts[i] * period / volts.length;
    }
    int highest = 0;
    int lowest = 0;
    for (int i = 1; i < period; i++) {
      highest = mean[i] > mean[highest] ? i : highest;
      lowest = mean[i] < mean[lowest] ? i : lowest;
    }
    return (vertex(mean, highest) - vertex(mean, lowest)) / 2;
  }

  /** The extreme of the parabola through an extreme sample and those beside it. */
  private static double vertex(double[] samples, int at) {
    double before = samples[Math.floorMod(at - 1, samples.length)];
    double after = samples[(at + 1) % samples.length];
    double bend = 2 * samples[at] - before - after;
    double slope = after - before;
    return bend == 0 ? samples[at] : samples[at] + slope * slope / (8 * bend);
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
