package kitproof.signal;

/**
 * One sine fitted to samples by least squares, after IEEE 1057: {@code A·cos(2πft) + B·sin(2πft) +
 * C} with t = 0 at the first sample.
 *
 * @param frequencyHz f, given or fitted
 * @param cosine A in volts peak
 * @param sine B in volts peak
 * @param offset C in volts
 * @param residualVolts rms of what the sine leaves
 */
public record SineFit(
    double frequencyHz, double cosine, double sine, double offset, double residualVolts) {

  /** Three parameters: the frequency is known exactly. At least 4 samples. */
  public static SineFit threeParameter(double[] volts, double rate, double frequencyHz) {
    double omega = omega(volts, rate, frequencyHz);
    return of(volts, rate, HarmonicFit.at(volts, omega, 1, Weighting.EVEN));
  }

  /**
   * Four parameters: the frequency is fitted too.
   *
   * @param roughHz the frequency within about a third of a cycle per record
   * @throws IllegalArgumentException also if the fit does not settle
   */
  public static SineFit fourParameter(double[] volts, double rate, double roughHz) {
    double omega = omega(volts, rate, roughHz);
    return of(volts, rate, HarmonicFit.free(volts, omega, 1, Weighting.EVEN));
  }

  /** As the other, starting at the spectrum's strongest line. At least 16 samples. */
  public static SineFit fourParameter(double[] volts, double rate) {
    return fourParameter(volts, rate, ToneFinder.strongest(volts, rate));
  }

  /** Peak amplitude in volts. */
  public double peakVolts() {
    return Math.hypot(cosine, sine);
  }

  /** Phase of the sine form {@code peak·sin(2πft + phase)}, radians from -π to π. */
  public double phaseRadians() {
    return Math.atan2(cosine, sine);
  }

  /** Signal to noise and distortion: the sine's rms over {@link #residualVolts}, dB. */
  public double sinadDb() {
    return Levels.db(peakVolts() / Math.sqrt(2) / residualVolts);
  }

  private static double omega(double[] volts, double rate, double hz) {
    Require.samples(volts, 4);
    Require.positive("sample rate", rate);
    Require.positive("frequency", hz);
    if (hz >= rate / 2) {
      throw new IllegalArgumentException(hz + " Hz at " + rate + " samples per second");
    }
    return 2 * Math.PI * hz / rate;
  }

  private static SineFit of(double[] volts, double rate, HarmonicFit fit) {
    double middle = fit.omega() * (volts.length - 1) / 2;
    double cos = Math.cos(middle);
    double sin = Math.sin(middle);
    double a = fit.cos()[1];
    double b = fit.sin()[1];
    return new SineFit(
        fit.omega() * rate / (2 * Math.PI),
        a * cos - b * sin,
        a * sin + b * cos,
        fit.offset(),
        Residual.rms(fit, volts));
  }
}
