package kitproof.signal;

/**
 * How much the level of a tone changed within one capture: the spread of its levels in stretches
 * that follow one another.
 *
 * <p>Each stretch holds whole cycles, three or more, and is weighted by a raised cosine, so that
 * neither harmonics nor hum count as change. Noise counts a quarter more than in the whole block.
 *
 * @param deviation standard deviation of the stretches' levels over their mean
 * @param count how many stretches there are; 0 if the capture is too short for two
 */
public record Repeats(double deviation, int count) {
  /** Of a capture too short to tell. */
  public static final Repeats NONE = new Repeats(0, 0);

  private static final int MOST = 8;
  private static final int FEWEST_CYCLES = 3;

  /**
   * Of a block that holds a whole number of cycles.
   *
   * @param cycles in the block
   */
  static Repeats of(double[] volts, int cycles) {
    int count = Math.min(MOST, cycles / FEWEST_CYCLES);
    if (count < 2) {
      return NONE;
    }
    double period = (double) volts.length / cycles;
    double length = cycles / count * period; // whole cycles, rounded down
    double[] levels = new double[count];
    for (int k = 0; k < count; k++) {
      levels[k] = level(volts, 2 * Math.PI / period, k * length, length);
    }
    Spread spread = Spread.of(levels);
    return spread.mean() > 0
        ? new Repeats(spread.standardDeviation() / spread.mean(), count)
        : NONE;
  }

  /** Amplitude in a stretch that need not begin or end on a sample. */
  private static double level(double[] volts, double omega, double start, double length) {
    int first = (int) Math.ceil(start);
    int end = Math.min(volts.length, (int) Math.ceil(start + length));
    double[] cos = new double[end - first];
    double[] sin = new double[end - first];
    Rotation.fill(omega, first, cos, sin);
    double[] window = new double[end - first];
    Rotation.fill(2 * Math.PI / length, first - start, window, new double[end - first]);
    double re = 0;
    double im = 0;
    double weights = 0;
    for (int i = 0; i < window.length; i++) {
      double weight = 1 - window[i];
      re += weight * volts[first + i] * cos[i];
      im += weight * volts[first + i] * sin[i];
      weights += weight;
    }
    return 2 * Math.hypot(re, im) / weights;
  }

  /** Whether there is a spread. */
  public boolean isObserved() {
    return count >= 2;
  }
}
