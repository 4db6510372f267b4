package kitproof.signal;

import java.util.Optional;

/** Whether a positive voltage at the input makes a positive one at the output. */
public enum Polarity {
  KEPT,
  INVERTED;

  /** Within this many degrees of 0 or 180 a phase tells the polarity. */
  private static final double NEAR = 60;

  /**
   * From the phase in the middle of the band, where no corner turns it.
   *
   * @param response with the delay of the measurement taken out
   * @param middle where to look; an octave or more
   * @return empty if the phase there is near neither 0 nor 180 degrees, or wanders from one to the
   *     other
   */
  public static Optional<Polarity> of(FrequencyResponse response, Band middle) {
    boolean kept = true;
    boolean inverted = true;
    for (double hz : ResponseFigures.logSpaced(middle.lowHz(), middle.highHz(), 6)) {
      double degrees = Math.abs(response.phaseDegrees(hz));
      kept &= degrees <= NEAR;
      inverted &= degrees >= 180 - NEAR;
    }
    return kept ? Optional.of(KEPT) : inverted ? Optional.of(INVERTED) : Optional.empty();
  }
}
