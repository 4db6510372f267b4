package kitproof.limit.statistics;

/**
 * The parts of the spread in a gauge study, as standard deviations in the unit of the readings.
 *
 * <p>Words as in AIAG, Measurement Systems Analysis, 4th edition (2010).
 *
 * @param repeatability of readings of one unit by one appraiser (equipment variation, EV)
 * @param reproducibility between appraisers (appraiser variation, AV)
 * @param interaction of appraisers with units; 0 where it is not separated
 * @param unitVariation between units (part variation, PV)
 */
public record GaugeSpread(
    double repeatability, double reproducibility, double interaction, double unitVariation) {

  /** Of the measurement as a whole: repeatability, reproducibility and interaction together. */
  public double gauge() {
    return Math.hypot(Math.hypot(repeatability, reproducibility), interaction);
  }

  /** Of everything together (TV). */
  public double total() {
    return Math.hypot(gauge(), unitVariation);
  }

  /** The gauge's part of the total, as a ratio of standard deviations. */
  public double shareOfTotal() {
    return gauge() / total();
  }

  /**
   * The gauge's part of a tolerance, six standard deviations wide.
   *
   * @param tolerance high less low limit, in the unit of the readings
   */
  public double shareOfTolerance(double tolerance) {
    return 6 * gauge() / tolerance;
  }

  /**
   * How many kinds of units the gauge can tell apart, √2 · unit variation / gauge; AIAG cuts the
   * fraction off and asks for 5 or more.
   */
  public double distinctCategories() {
    return Math.sqrt(2) * unitVariation / gauge();
  }
}
