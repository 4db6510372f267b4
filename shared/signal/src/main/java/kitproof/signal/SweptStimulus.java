package kitproof.signal;

/**
 * An exponential sweep as it was played: one that is made here from its parameters ({@link Sweep}),
 * or one that is known by its samples ({@link RecordedSweep}).
 */
public interface SweptStimulus {
  /** Lower edge of the band in which a response is wanted, Hz. */
  double startHz();

  /** Upper edge of that band, Hz. */
  double endHz();

  /** Samples per second. */
  double sampleRateHz();

  /** Seconds in which the frequency rises by the factor e; L in the papers. */
  double secondsPerFactor();

  /** Seconds by which the response to a harmonic comes before that to the sweep itself. */
  default double harmonicLeadSeconds(int order) {
    return secondsPerFactor() * Math.log(order);
  }

  /** Samples of the whole sweep with its fades. */
  int length();

  /**
   * The sweep with its fades.
   *
   * @param peakVolts amplitude inside the band
   */
  double[] samples(double peakVolts);

  /** How far the sweep is faded at a frequency: 1 in the band, 0 where it holds nothing. */
  double fade(double hz);

  /** What of {@link #samples} lies before the band and grows with a faster clock, seconds. */
  double leadSeconds();

  /** The same sweep as another clock samples it, whose rate is so many times as high. */
  SweptStimulus clocked(double ratio);
}
