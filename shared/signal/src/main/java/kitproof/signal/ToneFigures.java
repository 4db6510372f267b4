package kitproof.signal;

import java.util.List;
import java.util.Optional;

/**
 * What a captured tone is made of. Ratios are plain numbers: 0.01 is 1 % or -40 dB.
 *
 * <p>A harmonic is counted when it lies below half the sample rate and not above the measuring
 * band; the others asked for are listed as missing, so a total harmonic distortion always says what
 * it is the distortion of. The fundamental counts as inside the band wherever it lies, so a tone
 * placed a hair below the band's edge changes nothing.
 *
 * @param frequencyHz frequency of the fundamental
 * @param levelVolts rms of the fundamental
 * @param dcVolts mean of the capture
 * @param harmonics those counted, by rising order
 * @param thd root of the summed squares of {@code harmonics} over the fundamental (IEC 60268-3,
 *     from memory)
 * @param thdPlusNoise rms of everything in the band but the fundamental, over {@code totalVolts}
 *     (AES17, from memory)
 * @param totalVolts rms of everything in the band, without DC
 * @param noiseVolts rms of what is in the band and neither fundamental nor one of {@code harmonics}
 * @param missingHarmonics orders asked for that lie above the band or half the sample rate
 * @param seconds how long the tone was listened to
 * @param repeats how much its level changed in that time
 */
public record ToneFigures(
    double frequencyHz,
    double levelVolts,
    double dcVolts,
    List<Harmonic> harmonics,
    double thd,
    double thdPlusNoise,
    double totalVolts,
    double noiseVolts,
    List<Integer> missingHarmonics,
    double seconds,
    Repeats repeats) {

  public ToneFigures {
    harmonics = List.copyOf(harmonics);
    missingHarmonics = List.copyOf(missingHarmonics);
  }

  /** The harmonic of this order, empty if it is missing or was not asked for. */
  public Optional<Harmonic> harmonic(int order) {
    return harmonics.stream().filter(h -> h.order() == order).findFirst();
  }

  /**
   * @param otherSquares mean square in the band of all but fundamental and counted harmonics
   */
  static ToneFigures of(
      double frequencyHz,
      double levelVolts,
      double dcVolts,
      List<Harmonic> harmonics,
      List<Integer> missing,
      double otherSquares,
      Band band,
      double seconds,
      Repeats repeats) {
    double harmonicSquares = 0;
    double bandSquares = otherSquares;
    for (Harmonic harmonic : harmonics) {
      double square = harmonic.volts() * harmonic.volts();
      harmonicSquares += square;
      bandSquares += band.isAbove(harmonic.frequencyHz()) ? 0 : square;
    }
    double total = Math.sqrt(levelVolts * levelVolts + bandSquares);
    return new ToneFigures(
        frequencyHz,
        levelVolts,
        dcVolts,
        harmonics,
        Math.sqrt(harmonicSquares) / levelVolts,
        Math.sqrt(bandSquares) / total,
        total,
        Math.sqrt(otherSquares),
        missing,
        seconds,
        repeats);
  }
}
