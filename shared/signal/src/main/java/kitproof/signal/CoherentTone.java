package kitproof.signal;

import org.apache.commons.math3.util.ArithmeticUtils;

/**
 * A tone with a whole number of cycles in a block, so that it falls on one spectrum bin.
 *
 * <p>The number of cycles is odd and shares no factor with the block's length; then every sample of
 * the block meets the tone at another phase (coherent sampling, IEEE 1057).
 *
 * @param cycles in one block
 * @param blockLength samples
 * @param sampleRateHz samples per second
 */
public record CoherentTone(int cycles, int blockLength, double sampleRateHz) {

  public CoherentTone {
    Require.positive("sample rate", sampleRateHz);
    if (cycles < 1 || 2L * cycles >= blockLength) {
      throw new IllegalArgumentException(cycles + " cycles in " + blockLength + " samples");
    }
  }

  /**
   * The coherent tone nearest to a frequency; of two equally near the lower.
   *
   * @param hz above zero and below half the sample rate
   * @param blockLength samples, at least 4
   */
  public static CoherentTone near(double hz, double sampleRateHz, int blockLength) {
    Require.positive("frequency", hz);
    Require.positive("sample rate", sampleRateHz);
    if (blockLength < 4 || hz >= sampleRateHz / 2) {
      throw new IllegalArgumentException(
          hz + " Hz in " + blockLength + " samples at " + sampleRateHz + " samples per second");
    }
    double exact = hz * blockLength / sampleRateHz;
    int below = suitable((int) Math.floor(exact), -1, blockLength);
    int above = suitable((int) Math.floor(exact) + 1, 1, blockLength);
    boolean takeAbove = above > 0 && (below < 1 || above - exact < exact - below);
    return new CoherentTone(takeAbove ? above : below, blockLength, sampleRateHz);
  }

  /**
   * A coherent tone of just this frequency: the block's length, not the frequency, gives way.
   *
   * <p>The frequency is met to half a sample in the block's length, and the odd number of cycles
   * leaves enough lengths to choose from.
   *
   * @param hz above zero and below half the sample rate
   * @param aboutLength samples, at least 4; the block is as near to it as an odd number of cycles
   *     allows
   */
  public static CoherentTone of(double hz, double sampleRateHz, int aboutLength) {
    Require.positive("frequency", hz);
    Require.positive("sample rate", sampleRateHz);
    if (aboutLength < 4 || hz >= sampleRateHz / 2) {
      throw new IllegalArgumentException(
          hz + " Hz in " + aboutLength + " samples at " + sampleRateHz + " samples per second");
    }
    double perCycle = sampleRateHz / hz;
    int cycles = (int) Math.max(1, 2 * Math.round((aboutLength / perCycle - 1) / 2) + 1);
    int exact = (int) Math.max(3, Math.round(cycles * perCycle));
    for (int off = 0; ; off = off > 0 ? -off : 1 - off) {
      int length = exact + off;
      if (length > 2 * cycles && ArithmeticUtils.gcd(cycles, length) == 1) {
        return new CoherentTone(cycles, length, sampleRateHz);
      }
    }
  }

  /** The first suitable number of cycles in that direction; 0 if there is none. */
  private static int suitable(int from, int step, int length) {
    for (int cycles = from; cycles >= 1 && 2L * cycles < length; cycles += step) {
      if (cycles % 2 == 1 && ArithmeticUtils.gcd(cycles, length) == 1) {
        return cycles;
      }
    }
    return 0;
  }

  public double frequencyHz() {
    return cycles * sampleRateHz / blockLength;
  }

  /**
   * The tone from phase zero on; it repeats every block without a seam.
   *
   * @param peakVolts amplitude
   * @param length samples, any number
   */
  public double[] samples(double peakVolts, int length) {
    double[] samples = new double[length];
    for (int n = 0; n < length; n++) {
      if (n >= blockLength) {
        samples[n] = samples[n - blockLength];
        continue;
      }
      // The phase is reduced in whole numbers, so the last block is as exact as the first.
      long phase = (long) cycles * n % blockLength;
      samples[n] = peakVolts * Math.sin(2 * Math.PI * phase / blockLength);
    }
    return samples;
  }
}
