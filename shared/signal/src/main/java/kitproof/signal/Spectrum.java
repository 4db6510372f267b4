package kitproof.signal;

import java.util.Arrays;
import kitproof.value.Curve;
import kitproof.value.Unit;

/**
 * Levels of the lines of a capture, amplitude-correct: a tone on a bin shows its rms there.
 *
 * <p>Between bins a line reads low by up to 3.9 dB with the rectangular window, 1.4 dB with Hann
 * and 0.004 dB with the flat top. {@link #bandVolts} adds the energy of the bins and is right for
 * lines and noise alike.
 */
public final class Spectrum {
  private final double binHz;
  private final Window window;
  private final double[] volts;

  private Spectrum(double binHz, Window window, double[] volts) {
    this.binHz = binHz;
    this.window = window;
    this.volts = volts;
  }

  /**
   * Transforms the whole capture.
   *
   * @param volts at least 2 samples
   * @param rate samples per second
   */
  public static Spectrum of(double[] volts, double rate, Window window) {
    Require.samples(volts, 2);
    Require.positive("sample rate", rate);
    int n = volts.length;
    double[] spectrum = volts.clone();
    window.applyTo(spectrum);
    Fft.forward(spectrum);
    double[] levels = new double[n / 2 + 1];
    double scale = 1 / (n * window.coherentGain());
    for (int bin = 0; bin < levels.length; bin++) {
      levels[bin] = Math.sqrt(Fft.power(spectrum, bin)) * scale;
    }
    return new Spectrum(rate / n, window, levels);
  }

  /** Bins from 0 Hz to half the sample rate. */
  public int size() {
    return volts.length;
  }

  public double binHz() {
    return binHz;
  }

  /** Where a bin lies. */
  public double frequencyHz(int bin) {
    return bin * binHz;
  }

  /** Rms of a bin's line. */
  public double volts(int bin) {
    return volts[bin];
  }

  /** The strongest bin inside the band, DC left out. */
  public int strongest(Band band) {
    int strongest = band.firstBin(binHz);
    int last = band.lastBin(binHz, volts.length - 1);
    if (last < strongest) {
      throw new IllegalArgumentException("no bin of the spectrum lies in " + band);
    }
    for (int bin = strongest + 1; bin <= last; bin++) {
      strongest = volts[bin] > volts[strongest] ? bin : strongest;
    }
    return strongest;
  }

  /** Rms of everything inside the band, DC left out. */
  public double bandVolts(Band band) {
    double sum = 0;
    int last = band.lastBin(binHz, volts.length - 1);
    for (int bin = band.firstBin(binHz); bin <= last; bin++) {
      sum += volts[bin] * volts[bin];
    }
    return Math.sqrt(sum / window.noiseBandwidthBins());
  }

  /**
   * The strongest line of each small range of frequencies, for drawing: no line is lost, and the
   * curve stays short.
   *
   * @param pointsPerOctave at most; where bins are wider, each is a point
   * @return volts rms against the frequency of the line
   */
  public Curve envelope(Band band, int pointsPerOctave) {
    int first = band.firstBin(binHz);
    int last = band.lastBin(binHz, volts.length - 1);
    double[] hz = new double[Math.max(0, last - first + 1)];
    double[] level = new double[hz.length];
    int points = 0;
    double ratio = Math.pow(2, 1.0 / pointsPerOctave);
    for (int bin = first; bin <= last; ) {
      int end = (int) Math.min(last + 1, Math.max(bin + 1, Math.floor(bin * ratio)));
      int strongest = bin;
      for (int i = bin; i < end; i++) {
        strongest = volts[i] > volts[strongest] ? i : strongest;
      }
      hz[points] = frequencyHz(strongest);
      level[points++] = volts[strongest];
      bin = end;
    }
    if (points > 0 && hz[points - 1] < frequencyHz(last)) {
      hz[points] = frequencyHz(last); // the curve reaches the end of its band
      level[points++] = volts[last];
    }
    return Curve.of(Unit.HERTZ, Arrays.copyOf(hz, points), Unit.VOLT, Arrays.copyOf(level, points));
  }

  /** Volts rms against frequency inside the band. */
  public Curve curve(Band band) {
    int first = band.firstBin(binHz);
    int size = Math.max(0, band.lastBin(binHz, volts.length - 1) - first + 1);
    double[] hz = new double[size];
    double[] level = new double[size];
    for (int i = 0; i < size; i++) {
      hz[i] = (first + i) * binHz;
      level[i] = volts[first + i];
    }
    return Curve.of(Unit.HERTZ, hz, Unit.VOLT, level);
  }
}
