package kitproof.signal;

/**
 * An exponential sine sweep whose harmonics fall in step with it.
 *
 * <p>The frequency rises by a constant factor per second (A. Farina, AES 108th Convention, 2000)
 * and the rate of rise is rounded so that each harmonic of the sweep is the same sweep, earlier
 * (synchronised form: A. Novak, P. Lotton, L. Simon, J. Audio Eng. Soc. 63 (2015)).
 *
 * <p>The band from {@code startHz} to {@code endHz} is swept at full level. The fades lie outside
 * it: the sweep rises during the octave below and falls in the tenth above (less if half the sample
 * rate is near), which is what makes the response right up to both edges.
 *
 * @param startHz lower edge of the band
 * @param endHz upper edge of the band
 * @param cycles rate of rise: startHz times the seconds in which the frequency rises by e; whole
 * @param sampleRateHz samples per second
 */
public record Sweep(double startHz, double endHz, int cycles, double sampleRateHz)
    implements SweptStimulus {

  public Sweep {
    Require.positive("sample rate", sampleRateHz);
    Require.positive("start frequency", startHz);
    if (!(endHz > startHz) || endHz > 0.49 * sampleRateHz) {
      throw new IllegalArgumentException(
          "a sweep from " + startHz + " Hz to " + endHz + " Hz at " + sampleRateHz + " samples/s");
    }
    if (cycles < 1) {
      throw new IllegalArgumentException(cycles + " cycles");
    }
  }

  /**
   * A sweep whose band takes about the given time.
   *
   * <p>The time sets how far harmonics lie apart and so how finely the response is resolved: for
   * 0.02 dB down to 20 Hz it should not be below 4 seconds.
   */
  public static Sweep synchronised(double startHz, double endHz, double aboutSeconds, double rate) {
    Require.positive("duration", aboutSeconds);
    double perFactor = aboutSeconds / Math.log(endHz / startHz);
    int cycles = (int) Math.max(1, Math.round(startHz * perFactor));
    return new Sweep(startHz, endHz, cycles, rate);
  }

  @Override
  public double secondsPerFactor() {
    return cycles / startHz;
  }

  /** Seconds between {@code startHz} and {@code endHz}. */
  public double bandSeconds() {
    return secondsPerFactor() * Math.log(endHz / startHz);
  }

  @Override
  public int length() {
    return leadSamples() + (int) Math.ceil((bandSeconds() + fallSeconds()) * sampleRateHz);
  }

  /** Seconds of the whole sweep with its fades. */
  public double durationSeconds() {
    return length() / sampleRateHz;
  }

  @Override
  public double[] samples(double peakVolts) {
    double[] samples = new double[length()];
    int lead = leadSamples();
    double l = secondsPerFactor();
    for (int n = 0; n < samples.length; n++) {
      double factor = Math.exp((n - lead) / sampleRateHz / l);
      double turns = cycles * factor;
      double gain = fade(startHz * factor);
      samples[n] = peakVolts * gain * Math.sin(2 * Math.PI * (turns - Math.rint(turns)));
    }
    return samples;
  }

  @Override
  public double fade(double hz) {
    if (hz >= startHz && hz <= endHz) {
      return 1;
    }
    if (hz < startHz) {
      return hz <= startHz / 2 ? 0 : Fade.gain(Math.log(2 * hz / startHz) / Math.log(2));
    }
    double top = topHz();
    return hz >= top ? 0 : Fade.gain(1 - Math.log(hz / endHz) / Math.log(top / endHz));
  }

  /** Where the upper fade ends. */
  private double topHz() {
    return Math.min(1.1 * endHz, (endHz + sampleRateHz / 2) / 2);
  }

  private double fallSeconds() {
    return secondsPerFactor() * Math.log(topHz() / endHz);
  }

  /** The fade before the band, which is whole samples. */
  @Override
  public double leadSeconds() {
    return leadSamples() / sampleRateHz;
  }

  @Override
  public Sweep clocked(double ratio) {
    return new Sweep(startHz, endHz, cycles, sampleRateHz * ratio);
  }

  private int leadSamples() {
    return (int) Math.ceil(secondsPerFactor() * Math.log(2) * sampleRateHz);
  }
}
