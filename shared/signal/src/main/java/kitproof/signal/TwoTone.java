package kitproof.signal;

import java.util.Locale;

/**
 * Two tones that both have a whole number of cycles in a block, so that they and all sums and
 * differences of their multiples fall on spectrum bins of their own.
 *
 * @param lowCycles of the lower tone in one block
 * @param highCycles of the higher tone
 * @param blockLength samples
 * @param sampleRateHz samples per second
 */
public record TwoTone(int lowCycles, int highCycles, int blockLength, double sampleRateHz) {
  /** A length that meets both frequencies as well as this is taken at once. */
  private static final double EXACT = 1e-9;

  public TwoTone {
    Require.positive("sample rate", sampleRateHz);
    if (lowCycles < 1 || highCycles <= lowCycles || 2L * highCycles >= blockLength) {
      throw new IllegalArgumentException(
          lowCycles + " and " + highCycles + " cycles in " + blockLength + " samples");
    }
  }

  /**
   * Tones as near to these frequencies as blocks up to a tenth longer than wanted allow.
   *
   * @param aboutLength samples, long enough for two cycles of the lower tone and of the difference
   */
  public static TwoTone of(double lowHz, double highHz, double sampleRateHz, int aboutLength) {
    Require.positive("lower frequency", lowHz);
    Require.positive("sample rate", sampleRateHz);
    double slowest = Math.min(lowHz, highHz - lowHz);
    if (!(highHz > lowHz)
        || highHz >= sampleRateHz / 2
        || slowest * aboutLength < 2 * sampleRateHz) {
      throw new IllegalArgumentException(
          String.format(
              Locale.ROOT,
              "%s Hz and %s Hz in %d samples at %s samples per second",
              lowHz,
              highHz,
              aboutLength,
              sampleRateHz));
    }
    int best = aboutLength;
    double least = Double.POSITIVE_INFINITY;
    for (int length = aboutLength; length <= 1.1 * aboutLength && least > EXACT; length++) {
      double miss = miss(lowHz * length / sampleRateHz) + miss(highHz * length / sampleRateHz);
      if (miss < least) {
        least = miss;
        best = length;
      }
    }
    return new TwoTone(
        (int) Math.rint(lowHz * best / sampleRateHz),
        (int) Math.rint(highHz * best / sampleRateHz),
        best,
        sampleRateHz);
  }

  private static double miss(double cycles) {
    return Math.abs(cycles - Math.rint(cycles));
  }

  public double lowHz() {
    return lowCycles * sampleRateHz / blockLength;
  }

  public double highHz() {
    return highCycles * sampleRateHz / blockLength;
  }

  /**
   * Both tones together; they repeat every block without a seam.
   *
   * @param lowPeakVolts amplitude of the lower tone
   * @param highPeakVolts amplitude of the higher tone
   * @param length samples, any number
   */
  public double[] samples(double lowPeakVolts, double highPeakVolts, int length) {
    double[] samples = new double[length];
    for (int n = 0; n < length; n++) {
      samples[n] =
          n >= blockLength
              ? samples[n - blockLength]
              : lowPeakVolts * sine(lowCycles, n) + highPeakVolts * sine(highCycles, n);
    }
    return samples;
  }

  private double sine(int cycles, int n) {
    return Math.sin(2 * Math.PI * ((long) cycles * n % blockLength) / blockLength);
  }

  /**
   * What a captured block is made of.
   *
   * @param volts one block
   * @throws IllegalArgumentException also if one of the tones is not there at all
   */
  public IntermodulationFigures analyse(double[] volts) {
    Require.samples(volts, blockLength);
    if (volts.length != blockLength) {
      throw new IllegalArgumentException(volts.length + " samples, not " + blockLength);
    }
    IntermodulationFigures figures =
        new IntermodulationFigures(this, Spectrum.of(volts, sampleRateHz, Window.RECTANGULAR));
    if (!(figures.lowVolts() > 0) || !(figures.highVolts() > 0)) {
      throw new IllegalArgumentException("no tones: nothing at their frequencies");
    }
    return figures;
  }
}
