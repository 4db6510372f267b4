package kitproof.signal;

import java.util.Arrays;

/**
 * The noise between the lines of a spectrum: found from the median of the bins around a place,
 * which lines do not move as long as they are few.
 */
public final class NoiseFloor {
  private static final int HALF_WIDTH = 32;

  /** Of a bin of noise, whose level is Rayleigh distributed, the rms over the median. */
  private static final double RMS_OVER_MEDIAN = 1 / Math.sqrt(Math.log(2));

  /** Places at which noise that need not be white is looked at. */
  private static final int PLACES = 48;

  private final Spectrum spectrum;
  private final Window window;

  private NoiseFloor(Spectrum spectrum, Window window) {
    this.spectrum = spectrum;
    this.window = window;
  }

  /** Of a capture. */
  public static NoiseFloor of(double[] volts, double rate, Window window) {
    return new NoiseFloor(Spectrum.of(volts, rate, window), window);
  }

  /** The lines that stand in it. */
  public Spectrum spectrum() {
    return spectrum;
  }

  /** Rms of the noise in a bin there, volts. */
  public double volts(double hertz) {
    int bin = (int) Math.rint(hertz / spectrum.binHz());
    int size = Math.min(2 * HALF_WIDTH + 1, spectrum.size() - 1);
    int from = Math.max(1, Math.min(bin - HALF_WIDTH, spectrum.size() - size));
    double[] around = new double[size];
    for (int i = 0; i < size; i++) {
      around[i] = spectrum.volts(from + i);
    }
    Arrays.sort(around);
    return RMS_OVER_MEDIAN * around[size / 2];
  }

  /** How wide a band of noise a bin takes in, Hz. */
  public double bandwidthHz() {
    return window.noiseBandwidthBins() * spectrum.binHz();
  }

  /**
   * How well the rms is known. The median of n squares of noise has 1/(n ln²2) of relative
   * variance, as from the density of an exponential distribution at its median; neighbours that a
   * window spans count as one.
   */
  public double degreesOfFreedom() {
    return Math.max(1, (2 * HALF_WIDTH + 1) * Math.pow(Math.log(2), 2) * 2)
        / window.noiseBandwidthBins();
  }

  /** Rms of the noise in the samples, volts, without direct voltage. */
  public double ofSamples() {
    double squares = 0;
    double highest = spectrum.frequencyHz(spectrum.size() - 1);
    for (int i = 0; i < PLACES; i++) {
      double bin = volts(highest * (i + 0.5) / PLACES);
      squares += bin * bin / PLACES;
    }
    return Math.sqrt(squares * spectrum.size() / window.noiseBandwidthBins());
  }
}
