package kitproof.driver.simulated.unit;

/**
 * A stimulus on its way through the unit, at a step several times finer than its samples.
 *
 * <p>Runs a few samples before and after the stimulus, where the converters' filters still see it.
 */
public final class Playback {
  /** The model's step rate is as near to this as a whole multiple of the sample rate comes. */
  private static final double STEP_RATE = 384e3;

  /** Samples whose filtering is done in one go. */
  private static final int BLOCK = 512;

  private final double sampleRate;
  private final int length;
  private final double[][] stimulus;
  private final double[][] captured;
  private final double[] peaks;
  private final Kernel kernel;

  /** Generator volts by channel, step after the sample, and sample of the block that is on. */
  private final double[][][] generator;

  /** Output volts in the same order, with what the filter still needs of the block before. */
  private final double[][][] steps;

  private int next;
  private int inBlock;
  private int held;
  private int taken;

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
    this.generator = new double[2][kernel.factor][BLOCK];
    this.steps = new double[2][kernel.factor][BLOCK + 2 * Kernel.REACH];
    fill();
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
    return generator[channel][phase][inBlock];
  }

  void put(int channel, int phase, double volts) {
    steps[channel][phase][held] = volts;
  }

  /** The sample that is on has passed all its steps. */
  void sampleDone() {
    next++;
    held++;
    if (held == BLOCK + 2 * Kernel.REACH || finished()) {
      take();
    }
    inBlock++;
    if (inBlock == BLOCK && !finished()) {
      fill();
    }
  }

  /** Prepares the generator's next block. */
  private void fill() {
    inBlock = 0;
    // Played is sample next - REACH, which the margin moves to next + REACH.
    int count = Math.min(BLOCK, remaining());
    for (int c = 0; c < 2; c++) {
      for (int p = 0; p < kernel.factor; p++) {
        kernel.between(stimulus[c], next + Kernel.REACH, p, generator[c][p], count);
      }
    }
  }

  /** Captures the samples whose steps are all there, and keeps what the next ones need. */
  private void take() {
    int kept = 2 * Kernel.REACH - 1;
    int count = held - kept;
    for (int c = 0; c < 2; c++) {
      kernel.back(steps[c], captured[c], taken, Math.min(count, length - taken));
      for (double[] phase : steps[c]) {
        System.arraycopy(phase, count, phase, 0, kept);
      }
    }
    taken += count;
    held = kept;
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
