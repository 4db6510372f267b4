package kitproof.driver.audio;

import java.util.Optional;

/**
 * A short sound that is found again in a capture, to the sample.
 *
 * <p>A tenth of a second, or half of that where its place is known, of linear chirp from 500 Hz to
 * 8 kHz under a raised-cosine envelope: no DC, no click, all of it well within what an amplifier
 * passes. It is found by correlation, made independent of level: the energy in the chirp's band
 * that the chirp explains. A unit that inverts, filters, distorts or hums does not hide it, and a
 * stimulus far louder than it is not taken for it: a tone explains less than a hundredth of such
 * energy, a chirp in noise ten times as strong a tenth.
 */
final class Marker {
  private static final double SECONDS = 0.1;
  private static final double KNOWN_SECONDS = 0.05;
  private static final double LOW_HZ = 500;
  private static final double HIGH_HZ = 8_000;

  /** Share of the amplitude that the marker must explain; in noise of ten times its energy. */
  private static final double ENOUGH = 0.3;

  private final double sampleRateHz;
  private final double[] samples;
  private final double energy;

  /** The marker that goes up, from 500 Hz to 8 kHz. */
  static Marker rising(double sampleRateHz) {
    return new Marker(sampleRateHz, SECONDS, false);
  }

  /**
   * The one that goes down, in half the time: it is looked for where it ought to be. Neither is
   * taken for the other.
   */
  static Marker falling(double sampleRateHz) {
    return new Marker(sampleRateHz, KNOWN_SECONDS, true);
  }

  private Marker(double sampleRateHz, double seconds, boolean backwards) {
    this.sampleRateHz = sampleRateHz;
    int length = (int) Math.round(seconds * sampleRateHz);
    double high = highHz();
    samples = new double[length];
    double sum = 0;
    for (int i = 0; i < length; i++) {
      double forwards = (i + 0.5) / length;
      double t = backwards ? 1 - forwards : forwards;
      double cycles = seconds * (LOW_HZ * t + (high - LOW_HZ) * t * t / 2);
      double envelope = Math.sin(Math.PI * t);
      samples[i] = envelope * envelope * Math.sin(2 * Math.PI * cycles);
      sum += samples[i] * samples[i];
    }
    energy = sum;
  }

  /** Where it was found. */
  record Found(int position, double amplitude, double explained) {}

  int length() {
    return samples.length;
  }

  /** A sample, within ±1. */
  double at(int index) {
    return samples[index];
  }

  /**
   * Looks for the marker, whole, in these samples.
   *
   * @return the place of its first sample, or nothing if it is not there for certain
   */
  Optional<Found> find(double[] capture) {
    int positions = capture.length - samples.length + 1;
    if (positions < 1) {
      return Optional.empty();
    }
    int size = Fft.size(capture.length + samples.length);
    double[] re = java.util.Arrays.copyOf(capture, size);
    double[] im = new double[size];
    Fft.transform(re, im);
    keepBand(re, im);
    double[] correlation = correlation(re, im);
    Fft.transform(im, re); // the inverse
    double[] power = new double[size + 1];
    for (int i = 0; i < size; i++) {
      power[i + 1] = power[i] + re[i] * re[i] / ((double) size * size);
    }
    int best = 0;
    double bestExplained = 0;
    for (int i = 0; i < positions; i++) {
      // Rounding in the running sum must not look like a faint marker.
      double local = Math.max(power[i + samples.length] - power[i], 1e-12 * power[size]);
      double explained = local == 0 ? 0 : Math.abs(correlation[i]) / Math.sqrt(local * energy);
      if (explained > bestExplained) {
        best = i;
        bestExplained = explained;
      }
    }
    if (bestExplained < ENOUGH) {
      return Optional.empty();
    }
    int position = peak(correlation, best, positions);
    return Optional.of(
        new Found(position, Math.abs(correlation[position]) / energy, bestExplained));
  }

  private double highHz() {
    return Math.min(HIGH_HZ, 0.35 * sampleRateHz);
  }

  /** The largest correlation within half a millisecond. */
  private int peak(double[] correlation, int near, int positions) {
    int reach = (int) Math.round(0.0005 * sampleRateHz);
    int best = near;
    for (int i = Math.max(0, near - reach); i < Math.min(positions, near + reach + 1); i++) {
      if (Math.abs(correlation[i]) > Math.abs(correlation[best])) {
        best = i;
      }
    }
    return best;
  }

  private double[] correlation(double[] re, double[] im) {
    int size = re.length;
    double[] markerRe = java.util.Arrays.copyOf(samples, size);
    double[] markerIm = new double[size];
    Fft.transform(markerRe, markerIm);
    for (int k = 0; k < size; k++) {
      double real = re[k] * markerRe[k] + im[k] * markerIm[k];
      double imaginary = im[k] * markerRe[k] - re[k] * markerIm[k];
      markerRe[k] = real / size;
      markerIm[k] = imaginary / size;
    }
    Fft.transform(markerIm, markerRe);
    return markerRe;
  }

  /** Takes out what lies beside the chirp's band, so that hum and DC do not count as noise. */
  private void keepBand(double[] re, double[] im) {
    int size = re.length;
    for (int k = 0; k < size; k++) {
      double hz = Math.min(k, size - k) * sampleRateHz / size;
      double gain =
          smooth((hz - 0.4 * LOW_HZ) / (0.4 * LOW_HZ))
              * smooth((1.3 * highHz() - hz) / (0.3 * highHz()));
      re[k] *= gain;
      im[k] *= gain;
    }
  }

  private static double smooth(double x) {
    double within = Math.max(0, Math.min(1, x));
    return 0.5 - 0.5 * Math.cos(Math.PI * within);
  }
}
