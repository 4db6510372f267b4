package kitproof.driver.simulated.unit;

/**
 * White noise with standard deviation 1, from a seed.
 *
 * <p>The sum of four uniform numbers of 16 bits each: close enough to normal for noise that nobody
 * looks at beyond three deviations, and cheap.
 */
public final class Noise {
  private static final double SCALE = 1 / (65536 * Math.sqrt(4.0 / 12));

  private long state;

  public Noise(long seed) {
    this.state = seed * 0x9E3779B97F4A7C15L + 0x632BE59BD9B4E019L;
    if (state == 0) {
      state = 1;
    }
  }

  /** The next value. */
  public double next() {
    // xorshift64* (Marsaglia 2003, Vigna 2016; from memory).
    state ^= state >>> 12;
    state ^= state << 25;
    state ^= state >>> 27;
    long bits = state * 0x2545F4914F6CDD1DL;
    long sum = (bits & 0xffff) + (bits >>> 16 & 0xffff) + (bits >>> 32 & 0xffff) + (bits >>> 48);
    return (sum - 131070) * SCALE;
  }
}
