package kitproof.signal;

import java.util.List;
import java.util.Optional;
import kitproof.value.Curve;
import org.apache.commons.math3.complex.Complex;

/** What a sweep found: the linear response and, apart from it, those of the harmonics. */
public final class SweepResponse {
  private final List<FrequencyResponse> byOrder;

  /** The first is the linear one; orders that do not fit into the band are left off the end. */
  SweepResponse(List<FrequencyResponse> byOrder) {
    this.byOrder = List.copyOf(byOrder);
  }

  /** Fundamental at the output over the input, against frequency. */
  public FrequencyResponse linear() {
    return byOrder.get(0);
  }

  /**
   * The harmonic's amplitude at the output over the input's, against the input's frequency.
   *
   * @param order 2 to 5; empty if that harmonic lies above the swept band at every frequency
   */
  public Optional<FrequencyResponse> harmonic(int order) {
    if (order < 2 || order > SweepAnalysis.HIGHEST_ORDER) {
      throw new IllegalArgumentException("harmonic " + order);
    }
    return order > byOrder.size() ? Optional.empty() : Optional.of(byOrder.get(order - 1));
  }

  /** Linear output over input. */
  public Complex at(double hz) {
    return linear().at(hz);
  }

  /** Linear gain. */
  public double gainDb(double hz) {
    return linear().gainDb(hz);
  }

  /** Linear phase, degrees from -180 to 180. */
  public double phaseDegrees(double hz) {
    return linear().phaseDegrees(hz);
  }

  /** Linear gain in dB at rising frequencies. */
  public Curve magnitudeDb(double[] atHz) {
    return linear().magnitudeDb(atHz);
  }
}
