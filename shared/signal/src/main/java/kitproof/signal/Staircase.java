package kitproof.signal;

/**
 * One tone that rises in stairs, without a break of its phase: many levels in one capture.
 *
 * <p>On each stair the level moves over a few milliseconds, then the unit has time to settle, and
 * then comes one whole block of the tone, on exact spectrum bins however far along the stairs.
 */
public final class Staircase {
  private static final double MOVE_SECONDS = 0.005;

  /** A low tone that rises faster pushes a transformer's core to one side. */
  private static final double MOVE_CYCLES = 3;

  private final CoherentTone tone;
  private final int settleSamples;
  private final double[] peaks;

  /**
   * Stairs of a tone.
   *
   * @param tone the tone
   * @param settleSamples from the beginning of a stair to its block, longer than the move
   * @param peaks amplitude of each stair, volts; zero is silence
   */
  public Staircase(CoherentTone tone, int settleSamples, double[] peaks) {
    this.tone = tone;
    this.settleSamples = settleSamples;
    this.peaks = peaks.clone();
    if (peaks.length == 0 || settleSamples <= moveSamples(tone)) {
      throw new IllegalArgumentException(
          peaks.length + " stairs with " + settleSamples + " samples to settle");
    }
  }

  private static int moveSamples(CoherentTone tone) {
    return moveSamples(tone.frequencyHz(), tone.sampleRateHz());
  }

  /** Samples in which a tone of this frequency goes from one level to another. */
  public static int moveSamples(double hz, double sampleRateHz) {
    return (int) Math.ceil(Math.max(MOVE_SECONDS, MOVE_CYCLES / hz) * sampleRateHz);
  }

  /** The tone. */
  public CoherentTone tone() {
    return tone;
  }

  /** From the beginning of a stair to its block. */
  public int settleSamples() {
    return settleSamples;
  }

  /** Amplitude of each stair, volts. */
  public double[] peaks() {
    return peaks.clone();
  }

  /** Samples of one stair. */
  public int stairLength() {
    return settleSamples + tone.blockLength();
  }

  /** Where a stair begins. */
  public int start(int stair) {
    return stair * stairLength();
  }

  /** Where a stair's block begins. */
  public int block(int stair) {
    return start(stair) + settleSamples;
  }

  /** All stairs from silence, and the way back to silence. */
  public double[] samples() {
    int move = moveSamples(tone);
    double[] samples = tone.samples(1, peaks.length * stairLength() + move);
    double before = 0;
    for (int stair = 0; stair <= peaks.length; stair++) {
      double now = stair < peaks.length ? peaks[stair] : 0;
      int from = start(stair);
      int to = Math.min(samples.length, from + stairLength());
      for (int i = from; i < to; i++) {
        samples[i] *= before + (now - before) * Fade.gain((double) (i - from) / move);
      }
      before = now;
    }
    return samples;
  }
}
