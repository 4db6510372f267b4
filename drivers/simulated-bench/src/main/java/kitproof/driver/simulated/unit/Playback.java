package kitproof.driver.simulated.unit;

/**
 * A stimulus on its way through the unit, at a step several times finer than its samples.
 *
 * <p>Runs a few samples before and after the stimulus, where the converters' filters still see it.
 */
public final class Playback {
  /** The model's step rate is as near to this as a whole multiple of the sample rate comes. */
  private static final double STEP_RATE = 384e3;

  private final double sampleRate;
  private final int length;
  private final double[][] stimulus;
  private final double[][] captured;
  private final double[] peaks;
  private final Kernel kernel;
  private final double[][] steps;
  private int write;
  private int next;

  /**
   * A stimulus to be played.
   *
   * @param left volts
   * @param right volts, as many
   */
  Playback(double sampleRate, double[] left, double[] right) {
    this.sampleRate = sampleRate;
    this.length = left.length;
    this.kernel = new Kernel((int) Math.max(1, Math.round(STEP_RATE / sampleRate)));
    int margin = 2 * Kernel.REACH;
    this.stimulus = new double[2][length + 2 * margin];
    System.arraycopy(left, 0, stimulus[0], margin, length);
    System.arraycopy(right, 0, stimulus[1], margin, length);
    this.captured = new double[2][length];
    this.peaks = new double[] {peak(left), peak(right)};
    this.steps = new double[2][2 * kernel.span()];
  }

  /** Seconds from start to end. */
  public double duration() {
    return total() / sampleRate;
  }

  /** Whether all has been played. */
  public boolean finished() {
    return next == total();
  }

  /** Volts at the output terminals, left and right; complete when finished. */
  public double[][] captured() {
    return captured;
  }

  int remaining() {
    return total() - next;
  }

  double sampleRate() {
    return sampleRate;
  }

  int factor() {
    return kernel.factor;
  }

  double stepSeconds() {
    return 1 / (sampleRate * kernel.factor);
  }

  /** The stimulus' highest magnitude, volts. */
  double peak(int channel) {
    return peaks[channel];
  }

  /** Generator volts at a step of the sample that is on. */
  double generator(int channel, int phase) {
    return kernel.between(stimulus[channel], next + Kernel.REACH, phase);
  }

  void put(int channel, int phase, double volts) {
    int at = write + phase;
    // Written twice, so that every stretch of one span can be read in one piece.
    steps[channel][at] = volts;
    steps[channel][at + kernel.span()] = volts;
  }

  /** The sample that is on has passed all its steps. */
  void sampleDone() {
    write += kernel.factor;
    if (write == kernel.span()) {
      write = 0;
    }
    // Played is sample next - REACH; the last stretch's middle lies REACH before the next one.
    int index = next - 2 * Kernel.REACH + 1;
    if (index >= 0 && index < length) {
      captured[0][index] = kernel.decimate(steps[0], write);
      captured[1][index] = kernel.decimate(steps[1], write);
    }
    next++;
  }

  private static double peak(double[] samples) {
    double peak = 0;
    for (double s : samples) {
      peak = Math.max(peak, Math.abs(s));
    }
    return peak;
  }

  private int total() {
    return length + 2 * Kernel.REACH;
  }
}
