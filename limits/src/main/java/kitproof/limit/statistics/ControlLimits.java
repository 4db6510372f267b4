package kitproof.limit.statistics;

/**
 * Centre line and limits of a control chart, in the unit of the values.
 *
 * @param lower three standard deviations below the centre (of a range chart at least 0)
 * @param centre the centre line
 * @param upper three standard deviations above the centre
 */
public record ControlLimits(double lower, double centre, double upper) {
  /**
   * How far a value is from the centre in standard deviations of the upper half; 0 if all agree.
   */
  double z(double value) {
    double sigma = (upper - centre) / 3;
    return sigma == 0 ? 0 : (value - centre) / sigma;
  }
}
