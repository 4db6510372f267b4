package kitproof.signal;

import java.util.ArrayList;
import java.util.List;

/**
 * Level, harmonics, THD and THD+N of one captured tone.
 *
 * <p>{@link #coherent} is for a tone that was placed on an exact spectrum bin (one clock for
 * playing and capturing); {@link #fitted} for a tone whose frequency is not exactly known. With the
 * first, a line that is no whole number of cycles in the block (mains hum) is measured with the
 * leakage of the plain transform; its energy is right.
 */
public final class ToneAnalysis {
  private ToneAnalysis() {}

  /**
   * Analyses a block that holds a whole number of cycles, on exact bins and without a window.
   *
   * @param volts the block, at least 4 samples
   * @param rate samples per second
   * @param cycles whole cycles of the tone in the block, at least 1 and below half its length
   * @param band where noise and harmonics are counted
   * @param highestHarmonic the last order wanted, at least 1 (the fundamental alone)
   * @throws IllegalArgumentException also if there is nothing at all at the tone's frequency
   */
  public static ToneFigures coherent(
      double[] volts, double rate, int cycles, Band band, int highestHarmonic) {
    Require.samples(volts, 4);
    Require.positive("sample rate", rate);
    int n = volts.length;
    if (cycles < 1 || 2L * cycles >= n) {
      throw new IllegalArgumentException(cycles + " cycles in " + n + " samples");
    }
    double[] spectrum = volts.clone();
    Fft.forward(spectrum);
    double scale = 1.0 / ((double) n * n);
    double binHz = rate / n;
    double level = Math.sqrt(Fft.power(spectrum, cycles) * scale);
    requireTone(level);

    Orders orders = Orders.of(cycles * binHz, highestHarmonic, rate / 2, band);
    List<Harmonic> harmonics = new ArrayList<>();
    for (int order = 2; order <= orders.highest(); order++) {
      int bin = order * cycles;
      double rms = Math.sqrt(Fft.power(spectrum, bin) * scale);
      harmonics.add(new Harmonic(order, rms, rms / level, bin * binHz));
    }
    double dc = spectrum[0] / n;
    double other = 0;
    int highest = orders.highest() * cycles;
    int last = band.lastBin(binHz, n / 2);
    for (int bin = band.firstBin(binHz); bin <= last; bin++) {
      boolean counted = bin <= highest && bin % cycles == 0;
      other += counted ? 0 : Fft.power(spectrum, bin) * scale;
    }
    return ToneFigures.of(
        cycles * binHz,
        level,
        dc,
        harmonics,
        orders.missing(),
        other,
        band,
        n / rate,
        Repeats.of(volts, cycles));
  }

  /**
   * Analyses a tone of which only the neighbourhood is known.
   *
   * <p>The strongest line within a tenth of the given frequency is taken. Frequency, fundamental,
   * DC and harmonics are found by one least-squares fit, the four-parameter fit of IEEE 1057 with
   * the harmonics added so that they do not pull the fundamental, and the samples weighted by a
   * raised cosine so that hum and oscillations do not either. What remains is measured in the band
   * through a Hann window.
   *
   * @param volts at least 16 samples and two cycles
   * @param roughHz the tone's frequency within a tenth
   * @throws IllegalArgumentException also if no tone is found there
   */
  public static ToneFigures fitted(
      double[] volts, double rate, double roughHz, Band band, int highestHarmonic) {
    Require.positive("rough frequency", roughHz);
    return fitted(volts, rate, band, highestHarmonic, ToneFinder.near(volts, rate, roughHz));
  }

  /** As the other, for the strongest line above 0 Hz wherever it lies. */
  public static ToneFigures fitted(double[] volts, double rate, Band band, int highestHarmonic) {
    return fitted(volts, rate, band, highestHarmonic, ToneFinder.strongest(volts, rate));
  }

  private static ToneFigures fitted(
      double[] volts, double rate, Band band, int highestHarmonic, double startHz) {
    int n = volts.length;
    if (startHz * n / rate < 1.9) {
      throw new IllegalArgumentException(
          "less than two cycles of " + startHz + " Hz in " + n + " samples");
    }
    // Within one bin of half the rate a harmonic's amplitude and phase cannot be told apart.
    Orders orders = Orders.of(startHz, highestHarmonic, rate / 2 - rate / n, band);
    HarmonicFit fit =
        HarmonicFit.free(volts, 2 * Math.PI * startHz / rate, orders.highest(), Weighting.HANN);
    double level = fit.rms(1);
    requireTone(level);
    double hz = fit.omega() * rate / (2 * Math.PI);

    List<Harmonic> harmonics = new ArrayList<>();
    for (int order = 2; order <= orders.highest(); order++) {
      double rms = fit.rms(order);
      harmonics.add(new Harmonic(order, rms, rms / level, order * hz));
    }
    double other = Residual.bandSquares(fit, volts, rate, band);
    return ToneFigures.of(
        hz, level, fit.offset(), harmonics, orders.missing(), other, band, n / rate, Repeats.NONE);
  }

  /**
   * The capture without its fundamental and DC: what drawn beside the signal tells the order of the
   * distortion by its shape.
   *
   * @param frequencyHz the fundamental, exactly; {@link ToneFigures#frequencyHz()} is
   * @return as many samples as given, in volts
   */
  public static double[] residual(double[] volts, double rate, double frequencyHz) {
    Require.samples(volts, 16);
    Require.positive("sample rate", rate);
    Require.positive("frequency", frequencyHz);
    double nyquist = rate / 2 - rate / volts.length;
    if (frequencyHz >= nyquist) {
      throw new IllegalArgumentException(frequencyHz + " Hz at " + rate + " samples per second");
    }
    Orders orders = Orders.of(frequencyHz, 10, nyquist, new Band(0, rate));
    double omega = 2 * Math.PI * frequencyHz / rate;
    return Residual.withoutFundamental(
        HarmonicFit.at(volts, omega, orders.highest(), Weighting.HANN), volts);
  }

  private static void requireTone(double level) {
    if (!(level > 0)) {
      throw new IllegalArgumentException("no tone: nothing at its frequency");
    }
  }
}
