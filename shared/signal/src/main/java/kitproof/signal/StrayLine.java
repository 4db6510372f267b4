package kitproof.signal;

import java.util.Arrays;
import java.util.List;
import java.util.function.IntPredicate;

/**
 * The strongest line of a driven device's output that is no harmonic of the drive: what an
 * oscillation shows as.
 *
 * @param frequencyHz where it lies
 * @param volts its rms
 * @param floorVolts median of the lines that are no harmonics, which is the noise
 */
public record StrayLine(double frequencyHz, double volts, double floorVolts) {
  /** Half width of a line through the flat-top window, bins. */
  private static final int LINE_BINS = 5;

  /** How far a known line may be from where it was, as a part of its frequency. */
  private static final double WANDERS = 1e-3;

  /** The highest of many lines of noise stays below this many times their median. */
  private static final double STANDS_OUT = 8;

  /**
   * Looks for it through a flat-top window.
   *
   * @param volts a block of the tone
   * @param tone the drive, each harmonic of which is at least 20 bins from the next
   * @param band where to look
   */
  public static StrayLine of(double[] volts, CoherentTone tone, Band band) {
    return of(volts, tone, band, List.of());
  }

  /**
   * A line that is there without the device.
   *
   * @param frequencyHz where
   * @param volts the most that it may have
   */
  public record Known(double frequencyHz, double volts) {
    /** Whether a bin of the spectrum is no more than this. */
    boolean covers(double hz, double level, double binHz) {
      return level <= volts
          && Math.abs(hz - frequencyHz) <= LINE_BINS * binHz + WANDERS * frequencyHz;
    }
  }

  /**
   * The same, passing over lines that are known to be there without the device: one is told only
   * where more is found than it may have.
   */
  public static StrayLine of(double[] volts, CoherentTone tone, Band band, List<Known> known) {
    if (volts.length != tone.blockLength() || tone.cycles() < 4 * LINE_BINS) {
      throw new IllegalArgumentException(
          volts.length + " samples for " + tone + ", which needs 20 cycles or more");
    }
    Spectrum spectrum = Spectrum.of(volts, tone.sampleRateHz(), Window.FLAT_TOP);
    return of(
        spectrum,
        bin ->
            Math.floorMod(bin + LINE_BINS, tone.cycles()) <= 2 * LINE_BINS
                || isKnown(spectrum, bin, known),
        band);
  }

  private static boolean isKnown(Spectrum spectrum, int bin, List<Known> known) {
    return known.stream()
        .anyMatch(
            line -> line.covers(spectrum.frequencyHz(bin), spectrum.volts(bin), spectrum.binHz()));
  }

  /**
   * Looks for it in a capture that holds no whole number of the tone's cycles.
   *
   * @param volts a tone, whose harmonics are at least 20 bins of the capture's spectrum apart
   * @param toneHz its frequency, exactly; {@link ToneFigures#frequencyHz()} is
   * @param band where to look
   */
  public static StrayLine of(double[] volts, double rate, double toneHz, Band band) {
    return of(volts, rate, toneHz, band, List.of());
  }

  /** The same, passing over lines that are known to be there without the device. */
  public static StrayLine of(
      double[] volts, double rate, double toneHz, Band band, List<Known> known) {
    Require.samples(volts, 2);
    Require.positive("tone", toneHz);
    Spectrum spectrum = Spectrum.of(volts, rate, Window.FLAT_TOP);
    double cycles = toneHz / spectrum.binHz();
    if (cycles < 4 * LINE_BINS) {
      throw new IllegalArgumentException(
          volts.length + " samples for " + toneHz + " Hz, which needs 20 cycles or more");
    }
    return of(
        spectrum,
        bin ->
            Math.abs(bin - cycles * Math.rint(bin / cycles)) <= LINE_BINS
                || isKnown(spectrum, bin, known),
        band);
  }

  private static StrayLine of(Spectrum spectrum, IntPredicate ofHarmonic, Band band) {
    int first = band.firstBin(spectrum.binHz());
    int last = band.lastBin(spectrum.binHz(), spectrum.size() - 1);
    double[] others = new double[Math.max(0, last - first + 1)];
    int count = 0;
    int strongest = -1;
    for (int bin = first; bin <= last; bin++) {
      if (bin > LINE_BINS && !ofHarmonic.test(bin)) {
        others[count++] = spectrum.volts(bin);
        if (strongest < 0 || spectrum.volts(bin) > spectrum.volts(strongest)) {
          strongest = bin;
        }
      }
    }
    if (strongest < 0) {
      throw new IllegalArgumentException("no line that is no harmonic lies in " + band);
    }
    double[] sorted = Arrays.copyOf(others, count);
    Arrays.sort(sorted);
    return new StrayLine(
        spectrum.frequencyHz(strongest), spectrum.volts(strongest), sorted[count / 2]);
  }

  /** Whether it is more than the highest of the noise. */
  public boolean standsOut() {
    return volts > STANDS_OUT * floorVolts;
  }
}
