package kitproof.signal;

/**
 * A range of frequencies, both edges included.
 *
 * @param lowHz lower edge, zero or above
 * @param highHz upper edge, above the lower one
 */
public record Band(double lowHz, double highHz) {
  /** Relative room at the edges, so that a bin computed to lie on the edge is inside. */
  private static final double ROUNDING = 1e-12;

  public Band {
    if (!(lowHz >= 0) || !(highHz > lowHz) || Double.isInfinite(highHz)) {
      throw new IllegalArgumentException("a band from " + lowHz + " Hz to " + highHz + " Hz");
    }
  }

  public boolean contains(double hz) {
    return !isAbove(hz) && !isBelow(hz);
  }

  /** Whether the whole band lies above this frequency. */
  public boolean isAbove(double hz) {
    return hz < lowHz * (1 - ROUNDING);
  }

  /** Whether the whole band lies below this frequency. */
  boolean isBelow(double hz) {
    return hz > highHz * (1 + ROUNDING);
  }

  /** The first spectrum bin inside, never the one at 0 Hz. */
  int firstBin(double binHz) {
    return Math.max(1, (int) Math.ceil(lowHz * (1 - ROUNDING) / binHz));
  }

  /** The last spectrum bin inside, never above {@code highestBin}; below the first if none is. */
  int lastBin(double binHz, int highestBin) {
    return (int) Math.min(highestBin, Math.floor(highHz * (1 + ROUNDING) / binHz));
  }
}
