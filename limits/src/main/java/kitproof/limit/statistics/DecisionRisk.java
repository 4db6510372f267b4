package kitproof.limit.statistics;

import org.apache.commons.math3.analysis.UnivariateFunction;
import org.jspecify.annotations.Nullable;

/**
 * The risks of judging a value that is not known exactly, with normal distributions (JCGM
 * 106:2012).
 *
 * <p>Limits, values and uncertainties are all in one unit; a missing limit is null.
 */
public final class DecisionRisk {
  private DecisionRisk() {}

  /**
   * The probability that the true value is within the limits (JCGM 106, clause 7). Where the value
   * is accepted, the rest is the probability that this is false; where it is rejected, this is.
   *
   * @param value measured
   * @param uncertainty its standard uncertainty, above 0
   * @param low lowest good value, or null
   * @param high highest good value, or null
   * @throws IllegalArgumentException if both limits are missing or the uncertainty is not above 0
   */
  public static double conformance(
      double value, double uncertainty, @Nullable Double low, @Nullable Double high) {
    requireSpread(uncertainty, "an uncertainty of");
    if (low == null && high == null) {
      throw new IllegalArgumentException("no limit");
    }
    double tooLow = low == null ? 0 : Normal.below((low - value) / uncertainty);
    double tooHigh = high == null ? 0 : Normal.above((high - value) / uncertainty);
    return Math.max(0, 1 - tooLow - tooHigh);
  }

  /**
   * How far inside a limit a value must be for at least a stated probability of conformance, with
   * one limit or two far apart (ISO 14253-1:2017 asks for 0.95).
   *
   * @param uncertainty standard uncertainty
   * @param probability of conformance, such as 0.95
   * @return the width of the guard band, in the unit of the uncertainty; negative below 0.5
   */
  public static double guardBand(double uncertainty, double probability) {
    requireSpread(uncertainty, "an uncertainty of");
    Sample.requireProbability(probability, "a probability of");
    return uncertainty * Normal.quantile(probability);
  }

  /**
   * The risks over a whole production (JCGM 106, clause 9).
   *
   * @param falseAccept the part of all units that is bad and accepted (consumer's risk)
   * @param falseReject the part of all units that is good and rejected (producer's risk)
   */
  public record Global(double falseAccept, double falseReject) {}

  /**
   * The risks over a production whose true values are normal.
   *
   * @param mean of the true values of the production
   * @param spread standard deviation of the true values, above 0
   * @param uncertainty standard uncertainty of the measurement, above 0
   * @param low lowest good value, or null
   * @param high highest good value, or null
   * @param guard how far inside the limits a measured value must be; negative for outside
   * @throws IllegalArgumentException as {@link #conformance}
   */
  public static Global global(
      double mean,
      double spread,
      double uncertainty,
      @Nullable Double low,
      @Nullable Double high,
      double guard) {
    requireSpread(spread, "a spread of");
    Double acceptLow = low == null ? null : low + guard;
    Double acceptHigh = high == null ? null : high - guard;
    if (acceptLow != null && acceptHigh != null && acceptLow > acceptHigh) {
      throw new IllegalArgumentException("a guard band of " + guard + " that leaves nothing");
    }
    double bottom = low == null ? -Normal.FAR : within((low - mean) / spread);
    double top = high == null ? Normal.FAR : within((high - mean) / spread);
    // The measurement can turn within a small part of the spread; panels follow the narrower one.
    double scale = Math.min(1, uncertainty / spread);
    UnivariateFunction accepted =
        t ->
            scale
                * Normal.density(t * scale)
                * conformance(mean + t * scale * spread, uncertainty, acceptLow, acceptHigh);
    double good = Quadrature.integrate(accepted, bottom / scale, top / scale);
    double falseAccept =
        Quadrature.integrate(accepted, -Normal.FAR / scale, bottom / scale)
            + Quadrature.integrate(accepted, top / scale, Normal.FAR / scale);
    double falseReject = Normal.below(top) - Normal.below(bottom) - good;
    return new Global(Math.max(0, falseAccept), Math.max(0, falseReject));
  }

  private static double within(double z) {
    return Math.max(-Normal.FAR, Math.min(Normal.FAR, z));
  }

  private static void requireSpread(double value, String name) {
    if (!(value > 0) || !Double.isFinite(value)) {
      throw new IllegalArgumentException(name + " " + value + ", where more than 0 is needed");
    }
  }
}
