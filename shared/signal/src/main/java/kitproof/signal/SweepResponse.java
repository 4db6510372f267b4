package kitproof.signal;

import java.util.Optional;
import java.util.function.DoubleFunction;
import java.util.function.IntFunction;
import java.util.function.Supplier;
import kitproof.value.Curve;
import org.apache.commons.math3.complex.Complex;

/** What a sweep found: the linear response and, apart from it, those of the harmonics. */
public final class SweepResponse {
  private final FrequencyResponse linear;
  private final IntFunction<Optional<FrequencyResponse>> harmonics;
  private final Supplier<Optional<FrequencyResponse>> noise;

  /**
   * The linear response, and where to ask for a harmonic's.
   *
   * @param harmonics by order; empty if none of it lies in the band
   * @param noise as {@link #noise} gives it
   */
  SweepResponse(
      FrequencyResponse linear,
      IntFunction<Optional<FrequencyResponse>> harmonics,
      Supplier<Optional<FrequencyResponse>> noise) {
    this.linear = linear;
    this.harmonics = harmonics;
    this.noise = noise;
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

  /**
   * What the gate of the linear response lets through where nothing of the sweep is: noise and hum
   * as they are in the linear response too; found anew at every call.
   *
   * @return empty if the sweep is so short that there is no such place
   */
  public Optional<FrequencyResponse> noise() {
    return noise.get();
  }

  /** Linear output over input. */
  public Complex at(double hz) {
    return linear().at(hz);
  }

  /** Linear output over input as it would be with another size and phase, to see what that does. */
  public DoubleFunction<Complex> changed(double relative, double radians) {
    return linear().changed(relative, radians);
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
