package kitproof.limit.statistics;

import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.apache.commons.math3.special.Gamma;

/**
 * The constants of control charts for subgroups of one size, for normal values. No units.
 *
 * <p>Computed from their definitions, not copied from a table: d2 and d3 are mean and standard
 * deviation of the range of n standard normal values, c4 the mean of their standard deviation. The
 * letters are those of ISO 7870-2 and ASTM MNL7.
 *
 * @param size values in a subgroup, 2 or more
 * @param d2 mean range of n standard normal values
 * @param d3 standard deviation of that range
 * @param c4 mean of their standard deviation
 */
public record ChartConstants(int size, double d2, double d3, double c4) {
  private static final Map<Integer, ChartConstants> KNOWN = new ConcurrentHashMap<>();

  /** The range of up to some thousand normal values is below this but for less than 1e-15. */
  private static final double WIDEST = 16;

  /**
   * The constants for one size, computed once.
   *
   * @throws IllegalArgumentException if the size is not 2 to 1000
   */
  public static ChartConstants of(int size) {
    if (size < 2 || size > 1000) {
      throw new IllegalArgumentException("subgroups of " + size + ", where 2 to 1000 are possible");
    }
    return KNOWN.computeIfAbsent(size, ChartConstants::compute);
  }

  private static ChartConstants compute(int size) {
    double mean = Quadrature.integrate(w -> rangeAbove(w, size), 0, WIDEST);
    double square = Quadrature.integrate(w -> 2 * w * rangeAbove(w, size), 0, WIDEST);
    double c4 =
        Math.sqrt(2.0 / (size - 1))
            * Math.exp(Gamma.logGamma(size / 2.0) - Gamma.logGamma((size - 1) / 2.0));
    return new ChartConstants(size, mean, Math.sqrt(square - mean * mean), c4);
  }

  /** The probability that the range of n standard normal values is above w. */
  private static double rangeAbove(double w, int n) {
    // The sum over equal steps is exact to rounding for a function that dies away so fast.
    double step = 0.1;
    double sum = 0;
    for (double x = -Normal.FAR - w; x <= Normal.FAR; x += step) {
      double density = Normal.density(x);
      if (density > 0) {
        sum += density * Math.pow(Normal.below(x + w) - Normal.below(x), n - 1);
      }
    }
    return 1 - n * step * sum;
  }

  /** A: three standard deviations of a mean, as a multiple of the true standard deviation. */
  public double a() {
    return 3 / Math.sqrt(size);
  }

  /** A2: X̄ chart from the mean range. */
  public double a2() {
    return 3 / (d2 * Math.sqrt(size));
  }

  /** A3: X̄ chart from the mean standard deviation. */
  public double a3() {
    return 3 / (c4 * Math.sqrt(size));
  }

  /** B3, the lower limit of the s chart, of the mean standard deviation. */
  public double b3() {
    return Math.max(0, 1 - 3 * spreadOfS() / c4);
  }

  /** B4, the upper limit of the s chart, of the mean standard deviation. */
  public double b4() {
    return 1 + 3 * spreadOfS() / c4;
  }

  /** B5, the lower limit of the s chart, of the true standard deviation. */
  public double b5() {
    return Math.max(0, c4 - 3 * spreadOfS());
  }

  /** B6, the upper limit of the s chart, of the true standard deviation. */
  public double b6() {
    return c4 + 3 * spreadOfS();
  }

  /** D1, the lower limit of the range chart, of the true standard deviation. */
  public double lowerRangeOfSigma() {
    return Math.max(0, d2 - 3 * d3);
  }

  /** D2, the upper limit of the range chart, of the true standard deviation. */
  public double upperRangeOfSigma() {
    return d2 + 3 * d3;
  }

  /** D3, the lower limit of the range chart, of the mean range. */
  public double lowerRange() {
    return Math.max(0, 1 - 3 * d3 / d2);
  }

  /** D4, the upper limit of the range chart, of the mean range. */
  public double upperRange() {
    return 1 + 3 * d3 / d2;
  }

  /** E2: three standard deviations of single values, of the mean range. */
  public double e2() {
    return 3 / d2;
  }

  /**
   * d2*: what the mean of {@code groups} ranges is divided by so that its square estimates the
   * variance (AIAG Measurement Systems Analysis, appendix C; Duncan).
   */
  public double d2Star(int groups) {
    return Math.sqrt(d2 * d2 + d3 * d3 / groups);
  }

  private double spreadOfS() {
    return Math.sqrt(1 - c4 * c4);
  }
}
