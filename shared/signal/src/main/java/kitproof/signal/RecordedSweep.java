package kitproof.signal;

import java.util.Arrays;
import org.apache.commons.math3.stat.regression.SimpleRegression;

/**
 * An exponential sweep known by its samples, such as the file that was played elsewhere.
 *
 * <p>How fast it rises is taken from its group delay, which grows as the logarithm of frequency;
 * its spectrum tells how much of it lies outside the band. Where the sweep begins less than an
 * octave below the band, what its beginning rings with is taken for harmonics near the lower edge,
 * at some -50 dB and falling fast; the linear response is not touched by that.
 */
public final class RecordedSweep implements SweptStimulus {
  /** Quieter than this part of the peak is before the sweep's beginning or after its end. */
  private static final double SILENT = 1e-4;

  /** How far the group delay may scatter about the exponential, of the sweep's length. */
  private static final double SCATTER = 0.02;

  /** Less than this part of what an even sweep holds is no sweep there. */
  private static final double MISSING = 0.05;

  private static final int POINTS_PER_OCTAVE = 24;
  private static final int AVERAGED_BINS = 8;

  private final double[] original;
  private final double originalRate;
  private final double[] samples;
  private final double startHz;
  private final double endHz;
  private final double rate;
  private final double secondsPerFactor;
  private final Edges edges;

  /**
   * What the sweep holds: power by frequency, times the frequency, which is even in an exponential
   * sweep.
   */
  private record Edges(double[] evened, double binHz, double level) {
    double at(double hz) {
      int bin = (int) Math.rint(hz / binHz);
      int from = Math.max(1, bin - AVERAGED_BINS);
      int to = Math.min(evened.length - 1, bin + AVERAGED_BINS);
      double sum = 0;
      for (int i = from; i <= to; i++) {
        sum += evened[i];
      }
      return to < from ? 0 : sum / (to - from + 1) / level;
    }
  }

  private RecordedSweep(
      double[] original,
      double originalRate,
      double startHz,
      double endHz,
      double rate,
      double secondsPerFactor,
      Edges edges) {
    this.original = original;
    this.originalRate = originalRate;
    this.startHz = startHz;
    this.endHz = endHz;
    this.rate = rate;
    this.secondsPerFactor = secondsPerFactor;
    this.edges = edges;
    this.samples = rate == originalRate ? original : Resampler.of(original, rate / originalRate);
  }

  /**
   * Looks at the samples of a sweep; silence before and after it is left out.
   *
   * @param played the samples, of any amplitude
   * @param rate samples per second
   * @param startHz lower edge of the band in which a response is wanted
   * @param endHz its upper edge, which the sweep reaches
   * @throws IllegalArgumentException if it is no exponential sweep through the whole band
   */
  public static RecordedSweep of(double[] played, double rate, double startHz, double endHz) {
    Require.samples(played, 64);
    Require.positive("sample rate", rate);
    Require.positive("start frequency", startHz);
    if (!(endHz > startHz) || endHz > 0.49 * rate) {
      throw new IllegalArgumentException(
          "a sweep from " + startHz + " Hz to " + endHz + " Hz at " + rate + " samples/s");
    }
    double[] sounding = sounding(played);
    int length = Fft.powerOfTwo(2L * sounding.length);
    double[] spectrum = Arrays.copyOf(sounding, length);
    double[] timed = new double[length];
    for (int i = 0; i < sounding.length; i++) {
      timed[i] = i / rate * sounding[i];
    }
    Fft.forward(spectrum);
    Fft.forward(timed);
    double perFactor =
        secondsPerFactor(spectrum, timed, rate / length, startHz, endHz, sounding.length / rate);
    Edges edges = edges(spectrum, rate / length, startHz, endHz);
    double[] hz = ResponseFigures.logSpaced(startHz, endHz, POINTS_PER_OCTAVE);
    for (double at : hz) {
      if (edges.at(at) < MISSING) {
        throw new IllegalArgumentException("a stimulus without " + at + " Hz");
      }
    }
    return new RecordedSweep(sounding, rate, startHz, endHz, rate, perFactor, edges);
  }

  private static double[] sounding(double[] played) {
    double peak = Levels.peak(played);
    if (!(peak > 0)) {
      throw new IllegalArgumentException("a stimulus of nothing but silence");
    }
    int from = 0;
    int to = played.length;
    while (Math.abs(played[from]) < SILENT * peak) {
      from++;
    }
    while (Math.abs(played[to - 1]) < SILENT * peak) {
      to--;
    }
    double[] sounding = Arrays.copyOfRange(played, from, to);
    for (int i = 0; i < sounding.length; i++) {
      sounding[i] /= peak;
    }
    return sounding;
  }

  /** From the group delay, power-weighted over the bins of each small band. */
  private static double secondsPerFactor(
      double[] spectrum, double[] timed, double binHz, double low, double high, double seconds) {
    SimpleRegression line = new SimpleRegression();
    double[] hz = ResponseFigures.logSpaced(low, high, POINTS_PER_OCTAVE);
    for (int i = 0; i + 1 < hz.length; i++) {
      double delay = 0;
      double power = 0;
      double logs = 0;
      int last = (int) Math.floor(hz[i + 1] / binHz);
      for (int bin = Math.max(1, (int) Math.ceil(hz[i] / binHz)); bin <= last; bin++) {
        double re = Fft.re(spectrum, bin);
        double im = Fft.im(spectrum, bin);
        delay += Fft.re(timed, bin) * re + Fft.im(timed, bin) * im;
        power += re * re + im * im;
        logs += (re * re + im * im) * Math.log(bin * binHz);
      }
      if (power > 0) {
        line.addData(logs / power, delay / power);
      }
    }
    double scatter = line.getN() < 3 ? Double.NaN : Math.sqrt(line.getMeanSquareError());
    if (!(scatter <= SCATTER * seconds) || !(line.getSlope() > 0)) {
      throw new IllegalArgumentException("a stimulus whose frequency does not rise exponentially");
    }
    return line.getSlope();
  }

  private static Edges edges(double[] spectrum, double binHz, double low, double high) {
    double[] evened = new double[spectrum.length / 2];
    for (int bin = 1; bin < evened.length; bin++) {
      evened[bin] = Fft.power(spectrum, bin) * bin;
    }
    double third = Math.pow(high / low, 1.0 / 3);
    int from = (int) Math.ceil(low * third / binHz);
    int to = (int) Math.floor(high / third / binHz);
    double sum = 0;
    for (int bin = from; bin <= to; bin++) {
      sum += evened[bin] / bin;
    }
    double logs = Math.log((to + 0.5) / (from - 0.5));
    return new Edges(evened, binHz, sum / logs);
  }

  @Override
  public double startHz() {
    return startHz;
  }

  @Override
  public double endHz() {
    return endHz;
  }

  @Override
  public double sampleRateHz() {
    return rate;
  }

  @Override
  public double secondsPerFactor() {
    return secondsPerFactor;
  }

  @Override
  public int length() {
    return samples.length;
  }

  @Override
  public double[] samples(double peakVolts) {
    double[] scaled = samples.clone();
    for (int i = 0; i < scaled.length; i++) {
      scaled[i] *= peakVolts;
    }
    return scaled;
  }

  @Override
  public double fade(double hz) {
    if (hz >= startHz && hz <= endHz) {
      return 1;
    }
    double top = Math.min(1.1 * endHz, (endHz + Math.min(rate, originalRate) / 2) / 2);
    double gain =
        hz < startHz
            ? Fade.gain(Math.log(2 * hz / startHz) / Math.log(2))
            : Fade.gain(1 - Math.log(hz / endHz) / Math.log(top / endHz));
    return gain == 0 ? 0 : gain * Math.sqrt(Math.min(1, edges.at(hz)));
  }

  @Override
  public double leadSeconds() {
    return 0;
  }

  @Override
  public RecordedSweep clocked(double ratio) {
    return new RecordedSweep(
        original, originalRate, startHz, endHz, rate * ratio, secondsPerFactor, edges);
  }

  /** The same sweep at the sample rate of a capture. */
  public RecordedSweep at(double sampleRateHz) {
    return clocked(sampleRateHz / rate);
  }
}
