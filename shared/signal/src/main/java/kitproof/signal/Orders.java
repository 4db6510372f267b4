package kitproof.signal;

import java.util.List;
import java.util.stream.IntStream;

/**
 * Which harmonics of a tone can be counted, and which lie too high.
 *
 * @param highest the last one counted; 1 if only the fundamental is
 * @param wanted the last one asked for
 */
record Orders(int highest, int wanted) {

  /** Those below {@code nyquistHz} and not above the band. */
  static Orders of(double toneHz, int wanted, double nyquistHz, Band band) {
    if (wanted < 1) {
      throw new IllegalArgumentException("harmonics up to order " + wanted);
    }
    if (toneHz >= nyquistHz) {
      throw new IllegalArgumentException(toneHz + " Hz is too near half the sample rate");
    }
    int highest = 1;
    while (highest < wanted
        && (highest + 1) * toneHz < nyquistHz * (1 - 1e-12)
        && !band.isBelow((highest + 1) * toneHz)) {
      highest++;
    }
    return new Orders(highest, wanted);
  }

  List<Integer> missing() {
    return IntStream.rangeClosed(highest + 1, wanted).boxed().toList();
  }
}
