package kitproof.signal;

import java.util.Arrays;

/**
 * A short exponential sweep with silence after it, for a first rough look at what a unit gives
 * where: the quotient of the two spectra, in which noise, hum and harmonics still are.
 *
 * <p>The band is swept at full level; the fades lie in the half octave below and the tenth above it
 * (less if half the sample rate is near).
 */
public final class RoughSweep {
  private static final double LEAD = Math.sqrt(2);
  private static final double FALL = 1.1;
  private static final double SIXTH_OCTAVE = Math.pow(2, 1.0 / 6);

  private final Band band;
  private final double rate;
  private final double[] unit;

  /**
   * A sweep.
   *
   * @param band above 0 Hz, up to 0.49 of the sample rate
   * @param seconds of the sweep, its fades included
   * @param tailSeconds of the silence
   * @param sampleRateHz samples per second
   */
  public RoughSweep(Band band, double seconds, double tailSeconds, double sampleRateHz) {
    Require.positive("sample rate", sampleRateHz);
    Require.positive("start frequency", band.lowHz());
    Require.positive("duration", seconds);
    if (band.highHz() > 0.49 * sampleRateHz) {
      throw new IllegalArgumentException(
          "a sweep to " + band.highHz() + " Hz at " + sampleRateHz + " samples/s");
    }
    this.band = band;
    this.rate = sampleRateHz;
    double start = band.lowHz() / LEAD;
    double top = Math.min(FALL * band.highHz(), (band.highHz() + sampleRateHz / 2) / 2);
    double perFactor = seconds / Math.log(top / start);
    int length = (int) Math.ceil(seconds * sampleRateHz);
    this.unit = new double[length + (int) Math.ceil(tailSeconds * sampleRateHz)];
    for (int n = 0; n < length; n++) {
      double factor = Math.exp(n / sampleRateHz / perFactor);
      double hz = start * factor;
      double rise = Fade.gain(Math.log(hz / start) / Math.log(LEAD));
      double fall = Fade.gain(Math.log(top / hz) / Math.log(top / band.highHz()));
      unit[n] = rise * fall * Math.sin(2 * Math.PI * start * perFactor * (factor - 1));
    }
  }

  /** The sweep and the silence; all silence with a peak of 0. */
  public double[] samples(double peakVolts) {
    return Arrays.stream(unit).map(sample -> peakVolts * sample).toArray();
  }

  /**
   * What came back of it.
   *
   * @param peakVolts with which it was played, above 0
   * @param captured as long as what was played
   */
  public Gains gains(double peakVolts, double[] captured) {
    Require.positive("peak", peakVolts);
    if (captured.length != unit.length) {
      throw new IllegalArgumentException(captured.length + " samples of a sweep of " + unit.length);
    }
    int length = Fft.powerOfTwo(unit.length);
    double[] played = Arrays.copyOf(unit, length);
    double[] came = Arrays.copyOf(captured, length);
    Fft.forward(played);
    Fft.forward(came);
    int first = (int) Math.floor(band.lowHz() * length / rate);
    int last = (int) Math.ceil(band.highHz() * length / rate);
    double[] gains = new double[last - first + 1];
    for (int i = 0; i < gains.length; i++) {
      int bin = first + i;
      gains[i] =
          Math.hypot(Fft.re(came, bin), Fft.im(came, bin))
              / (peakVolts * Math.hypot(Fft.re(played, bin), Fft.im(played, bin)));
    }
    return new Gains(gains, first, rate / length);
  }

  /** Output over input against frequency. */
  public static final class Gains {
    private final double[] gains;
    private final int first;
    private final double binHz;

    private Gains(double[] gains, int first, double binHz) {
      this.gains = gains;
      this.first = first;
      this.binHz = binHz;
    }

    /** At this frequency, between the two bins beside it; the edge's beyond the band. */
    public double at(double hz) {
      double place = Math.max(0, Math.min(gains.length - 1, hz / binHz - first));
      int below = (int) Math.min(gains.length - 2.0, Math.floor(place));
      return gains[below] + (place - below) * (gains[below + 1] - gains[below]);
    }

    /** Where in the band most comes. */
    public double highestHz() {
      int highest = 0;
      for (int i = 0; i < gains.length; i++) {
        highest = gains[i] > gains[highest] ? i : highest;
      }
      return (first + highest) * binHz;
    }

    /** How many places in the band it is known at. */
    public int size() {
      return gains.length;
    }

    /** The frequency of a place, Hz. */
    public double hz(int place) {
      return (first + place) * binHz;
    }

    /** At a place, from 0. */
    public double of(int place) {
      return gains[place];
    }

    /**
     * Root mean squares over a third of an octave around each place, in which a line of hum or
     * noise weighs less.
     */
    public Gains smoothed() {
      double[] sums = new double[gains.length + 1];
      for (int i = 0; i < gains.length; i++) {
        sums[i + 1] = sums[i] + gains[i] * gains[i];
      }
      double[] smooth = new double[gains.length];
      for (int i = 0; i < gains.length; i++) {
        int bin = first + i;
        int from = Math.max(0, (int) Math.ceil(bin / SIXTH_OCTAVE) - first);
        int to = Math.min(gains.length, (int) Math.floor(bin * SIXTH_OCTAVE) - first + 1);
        smooth[i] = Math.sqrt((sums[to] - sums[from]) / (to - from));
      }
      return new Gains(smooth, first, binHz);
    }
  }
}
