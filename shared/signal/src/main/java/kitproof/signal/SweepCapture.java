package kitproof.signal;

import java.util.Arrays;
import org.apache.commons.math3.stat.regression.OLSMultipleLinearRegression;

/**
 * A captured sweep that says itself when it begins and how fast its clock runs: for captures made
 * elsewhere, with an unknown delay and on another clock than the stimulus.
 *
 * <p>The beginning is where the impulse response peaks. A clock that runs fast by a part e delays
 * the frequency f by {@code e·L·(ln(f/f1) + 1)}, with L the seconds in which the sweep rises by the
 * factor e and f1 its lower edge: more at every octave, which no amplifier does inside its band.
 * The phase inside the band is fitted with that, a delay, a polarity and the 1/f of a high-pass
 * below the band, and the analysis is done again with the clock found. Frequencies are those of the
 * stimulus.
 */
public final class SweepCapture {
  /** Kept before the peak, for what comes before it in a linear-phase device. */
  private static final double MARGIN_SECONDS = 0.002;

  private static final int MOST_PASSES = 5;

  /** A part by which two clocks that both claim one rate never differ. */
  private static final double FURTHEST_CLOCK = 2e-3;

  private final int startSample;
  private final SweepResponse response;
  private final FrequencyResponse linear;
  private final double clockRatio;
  private final double startSeconds;
  private final boolean inverted;

  private SweepCapture(
      int startSample,
      SweepResponse response,
      FrequencyResponse linear,
      double clockRatio,
      double startSeconds,
      boolean inverted) {
    this.startSample = startSample;
    this.response = response;
    this.linear = linear;
    this.clockRatio = clockRatio;
    this.startSeconds = startSeconds;
    this.inverted = inverted;
  }

  /**
   * Finds beginning and clock and analyses.
   *
   * @param sweep what was played, at the capture's nominal sample rate
   * @param peakVolts with which it was played
   * @param captured longer than the sweep, which begins somewhere in it
   * @throws IllegalArgumentException if the whole sweep is not in the capture, or cannot be found
   */
  public static SweepCapture of(SweptStimulus sweep, double peakVolts, double[] captured) {
    return of(sweep, peakVolts, captured, Double.NaN);
  }

  /**
   * As the other, with a clock that is known: that of another capture of the same recorder, so that
   * the two can be compared to the last degree.
   *
   * @param clockRatio the capture's clock over the stimulus'
   */
  public static SweepCapture of(
      SweptStimulus sweep, double peakVolts, double[] captured, double clockRatio) {
    Require.samples(captured, 1);
    Require.positive("peak", peakVolts);
    double rate = sweep.sampleRateHz();
    boolean known = !Double.isNaN(clockRatio);
    SweptStimulus played = known ? sweep.clocked(clockRatio) : sweep;
    double[] swinging = withoutOffset(captured);
    int peak = peakIndex(played, swinging);
    int start = Math.max(0, peak - (int) (MARGIN_SECONDS * rate));
    double[] from = Arrays.copyOfRange(swinging, start, swinging.length);
    double ratio = known ? clockRatio : 1;
    for (int pass = 0; ; pass++) {
      if (from.length < played.length()) {
        throw new IllegalArgumentException(
            "the sweep of "
                + played.length()
                + " samples begins at sample "
                + peak
                + " of a capture of "
                + captured.length);
      }
      SweepResponse response = SweepAnalysis.response(played, peakVolts, from);
      Fit fit = Fit.of(played, response.linear(), (peak - start) / played.sampleRateHz(), known);
      if (known || Math.abs(fit.clock) < 1e-9) {
        return new SweepCapture(
            start,
            response,
            response.linear().withoutDelay(fit.delaySeconds),
            ratio,
            // The fade in before the band is a whole number of samples of either clock.
            start / played.sampleRateHz()
                + fit.delaySeconds
                + played.leadSeconds()
                - sweep.leadSeconds(),
            Math.cos(fit.phase) < 0);
      }
      ratio *= 1 + fit.clock;
      if (pass >= MOST_PASSES || Math.abs(ratio - 1) > FURTHEST_CLOCK) {
        throw new IllegalArgumentException("no steady sweep: its clock cannot be found");
      }
      played = sweep.clocked(ratio);
    }
  }

  /**
   * A constant offset begins and ends with the capture, and those two steps hold every frequency.
   */
  private static double[] withoutOffset(double[] samples) {
    double mean = Levels.dc(samples);
    double[] swinging = samples.clone();
    for (int i = 0; i < swinging.length; i++) {
      swinging[i] -= mean;
    }
    return swinging;
  }

  /** Where the impulse response of the capture is largest: the sweep's first sample. */
  private static int peakIndex(SweptStimulus sweep, double[] captured) {
    double[] played = sweep.samples(1);
    int length = Fft.powerOfTwo((long) captured.length + played.length);
    double[] x = Arrays.copyOf(played, length);
    double[] y = Arrays.copyOf(captured, length);
    Fft.forward(x);
    Fft.forward(y);
    y[0] = 0;
    y[1] = 0;
    for (int bin = 1; bin < length / 2; bin++) {
      double re = x[2 * bin];
      double im = x[2 * bin + 1];
      double hz = bin * sweep.sampleRateHz() / length;
      double fade = sweep.fade(hz);
      double scale = fade == 0 ? 0 : fade * fade / (re * re + im * im);
      double yRe = y[2 * bin];
      double yIm = y[2 * bin + 1];
      y[2 * bin] = (yRe * re + yIm * im) * scale;
      y[2 * bin + 1] = (yIm * re - yRe * im) * scale;
    }
    Fft.inverse(y);
    int peak = 0;
    for (int i = 0; i < captured.length; i++) {
      peak = Math.abs(y[i]) > Math.abs(y[peak]) ? i : peak;
    }
    if (y[peak] == 0) {
      throw new IllegalArgumentException("nothing in the capture");
    }
    return peak;
  }

  /** The straight parts of the phase inside the band. */
  private record Fit(double phase, double delaySeconds, double clock) {
    private static final int POINTS_PER_OCTAVE = 48;

    static Fit of(SweptStimulus sweep, FrequencyResponse linear, double about, boolean clockKnown) {
      double octaves = Math.log(sweep.endHz() / sweep.startHz()) / Math.log(2);
      // A third of the way in logarithm at most: narrow sweeps keep a middle.
      double inside = Math.min(3, Math.pow(2, octaves / 4));
      double[] hz =
          ResponseFigures.logSpaced(
              sweep.startHz() * inside, sweep.endHz() / inside, POINTS_PER_OCTAVE);
      double[] phase = linear.withoutDelay(about).phase(hz).ys();
      double[][] terms = new double[hz.length][];
      for (int i = 0; i < hz.length; i++) {
        phase[i] = Math.toRadians(phase[i]);
        double turn = -2 * Math.PI * hz[i];
        double clock = turn * sweep.secondsPerFactor() * Math.log(hz[i] / sweep.startHz());
        terms[i] =
            clockKnown ? new double[] {turn, 1 / hz[i]} : new double[] {turn, 1 / hz[i], clock};
      }
      OLSMultipleLinearRegression fit = new OLSMultipleLinearRegression();
      fit.newSampleData(phase, terms);
      double[] found = fit.estimateRegressionParameters();
      return new Fit(found[0], about + found[1], clockKnown ? 0 : found[3]);
    }
  }

  /** The sweep as this capture's clock samples it. */
  public SweptStimulus clocked(SweptStimulus sweep) {
    return sweep.clocked(clockRatio);
  }

  /** Another channel of this capture, from where its own analysis begins; without offset. */
  public double[] fromStart(double[] channel) {
    double[] swinging = withoutOffset(channel);
    return Arrays.copyOfRange(swinging, startSample, swinging.length);
  }

  /** All responses; their phases hold the delay from the capture's first sample. */
  public SweepResponse response() {
    return response;
  }

  /** The linear response with the delay taken out, up to what the device itself adds to it. */
  public FrequencyResponse linear() {
    return linear;
  }

  /** The capture's sample clock over that of the stimulus. */
  public double clockRatio() {
    return clockRatio;
  }

  /** When the sweep begins, counted from the capture's first sample. */
  public double startSeconds() {
    return startSeconds;
  }

  /** Whether what came back is upside down. */
  public boolean inverted() {
    return inverted;
  }
}
