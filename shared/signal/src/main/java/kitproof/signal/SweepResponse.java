package kitproof.signal;

import java.util.Optional;
import java.util.function.IntFunction;
import kitproof.value.Curve;
import org.apache.commons.math3.complex.Complex;

/** What a sweep found: the linear response and, apart from it, those of the harmonics. */
public final class SweepResponse {
  private final FrequencyResponse linear;
  private final IntFunction<Optional<FrequencyResponse>> harmonics;

  /**
   * The linear response, and where to ask for a harmonic's.
   *
   * @param harmonics by order; empty if none of it lies in the band
   */
  SweepResponse(FrequencyResponse linear, IntFunction<Optional<FrequencyResponse>> harmonics) {
    this.linear = linear;
    this.harmonics = harmonics;
  }

  /** Fundamental at the output over the input, against frequency. */
  public FrequencyResponse linear() {
    return linear;
  }

  /**
   * The harmonic's amplitude at the output over the input's, against the input's frequency; found
   * anew at every call.
   *
   * @param order 2 to 5; empty if that harmonic lies above the swept band at every frequency
   */
  public Optional<FrequencyResponse> harmonic(int order) {
    if (order < 2 || order > SweepAnalysis.HIGHEST_ORDER) {
      throw new IllegalArgumentException("harmonic " + order);
    }
    return harmonics.apply(order);
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
