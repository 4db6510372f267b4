package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.signal.Harmonic;
import kitproof.signal.Levels;
import kitproof.signal.ToneFigures;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Turns the figures of a tone into measurements, the same for a live capture and a saved one. */
public final class ToneMeasurements {
  private static final String WITHIN = "within the measuring band and below half the sample rate";

  private ToneMeasurements() {}

  /**
   * THD against the fundamental, THD+N, and each harmonic relative to the fundamental.
   *
   * @param conditions of THD and the harmonics
   * @param inBand of THD+N, which name its measuring band
   * @param highestHarmonic the last one told
   */
  public static List<Measurement> distortion(
      ToneFigures figures, Conditions conditions, Conditions inBand, int highestHarmonic) {
    List<Measurement> measurements = new ArrayList<>();
    measurements.add(thd(figures, conditions));
    measurements.add(
        Measurement.of("thd+n", inBand, Quantity.of(100 * figures.thdPlusNoise(), Unit.PERCENT)));
    for (int order = 2; order <= highestHarmonic; order++) {
      measurements.add(harmonic(order, conditions, figures));
    }
    return measurements;
  }

  /** The same results, all invalid for this reason. */
  public static List<Measurement> invalidDistortion(
      String reason, Conditions conditions, Conditions inBand, int highestHarmonic) {
    List<Measurement> measurements = new ArrayList<>();
    measurements.add(Measurement.invalid("thd", conditions, reason));
    measurements.add(Measurement.invalid("thd+n", inBand, reason));
    for (int order = 2; order <= highestHarmonic; order++) {
      measurements.add(Measurement.invalid("harmonic " + order, conditions, reason));
    }
    return measurements;
  }

  /** A total of no harmonics would be a perfect zero. */
  private static Measurement thd(ToneFigures figures, Conditions conditions) {
    return figures.harmonics().isEmpty()
        ? Measurement.invalid("thd", conditions, "no harmonic lies " + WITHIN)
        : Measurement.of("thd", conditions, Quantity.of(100 * figures.thd(), Unit.PERCENT));
  }

  private static Measurement harmonic(int order, Conditions conditions, ToneFigures figures) {
    String name = "harmonic " + order;
    Optional<Harmonic> harmonic = figures.harmonic(order);
    if (harmonic.isEmpty()) {
      return Measurement.invalid(name, conditions, "it does not lie " + WITHIN);
    }
    double ratio = harmonic.get().ratio();
    return ratio > 0
        ? Measurement.of(name, conditions, Quantity.of(Levels.db(ratio), Unit.DECIBEL))
        : Measurement.invalid(name, conditions, "there is nothing at all at its frequency");
  }
}
