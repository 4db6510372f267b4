package kitproof.procedure;

import java.util.Optional;
import kitproof.signal.Band;
import kitproof.signal.FrequencyResponse;
import kitproof.signal.SweepResponse;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * What noise and hum may have done to a response from a sweep: half of what the same analysis shows
 * where nothing of the sweep is lies in the phase that counts.
 */
final class SweepNoise {
  /** Noise is averaged over so many points on each side, a twelfth of an octave apart. */
  private static final int NEIGHBOURS = 6;

  /** Of what it finds. */
  static final int DEGREES_OF_FREEDOM = 2 * NEIGHBOURS + 1;

  private static final double STEP = Math.pow(2, 1 / 12.0);

  private final FrequencyResponse linear;
  private final Optional<FrequencyResponse> noise;
  private final String name;

  /** Of a sweep, of which there may be more than one in a figure: each has its own name. */
  SweepNoise(SweepResponse response, String name) {
    this.linear = response.linear();
    this.noise = response.noise();
    this.name = name;
  }

  /** What it leaves open of the magnitude at a frequency. */
  Factor at(double hertz) {
    if (noise.isEmpty()) {
      return Factor.lacking("a sweep long enough to see the noise in it");
    }
    return Factor.relative(
        name + " at " + Quantity.of(hertz, Unit.HERTZ).display(),
        Evaluation.TYPE_A,
        relative(hertz),
        DEGREES_OF_FREEDOM);
  }

  /** Standard deviation of the magnitude over it; of the phase the same in radians. */
  double relative(double hertz) {
    if (noise.isEmpty()) {
      return Double.NaN;
    }
    Band band = linear.band();
    double squares = 0;
    int count = 0;
    for (int k = -NEIGHBOURS; k <= NEIGHBOURS; k++) {
      double at = hertz * Math.pow(STEP, k);
      if (band.contains(at)) {
        double size = noise.get().gain(at);
        squares += size * size;
        count++;
      }
    }
    return Math.sqrt(squares / Math.max(1, count) / 2) / linear.gain(hertz);
  }
}
