package kitproof.uncertainty;

import java.util.List;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Side;
import kitproof.value.Unit;

/**
 * What the station's own residual makes uncertain of a reading of distortion or noise.
 *
 * <p>The reading is not corrected for it. Noise of the station adds to the reading's square, so
 * that the truth is below: at the root of what is left without it, if the noise is as it was
 * calibrated. Distortion of the station has a phase towards that of the unit which nobody knows: it
 * adds or takes away, on both sides. The nearer a reading is to the residual, the more of it is
 * uncertain.
 *
 * <p>The two sums follow from the definition of rms values; the choice of the distributions is our
 * own.
 */
public final class NearResidual {
  private NearResidual() {}

  /**
   * The contributions to a reading.
   *
   * @param reading what was read, in any unit, above zero
   * @param noise the station's own noise in the same band and unit, not negative
   * @param distortion the station's own distortion in the same unit, not negative
   * @param unit of all three
   */
  public static List<Contribution> of(double reading, double noise, double distortion, Unit unit) {
    return List.of(
        new Contribution(
            "the station's own noise",
            Contribution.Evaluation.TYPE_B,
            Distribution.OFFSET,
            Side.BELOW,
            excess(reading, noise),
            unit,
            1,
            Double.POSITIVE_INFINITY),
        Contribution.within(
            "the station's own distortion", Distribution.ARCSINE, distortion, unit));
  }

  /**
   * How much of a reading may be the station's noise: the reading less the root of its square
   * without it; all of it if the reading is no more than the noise.
   */
  static double excess(double reading, double noise) {
    return noise >= reading ? reading : reading - Math.sqrt((reading - noise) * (reading + noise));
  }
}
