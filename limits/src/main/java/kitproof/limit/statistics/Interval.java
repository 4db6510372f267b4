package kitproof.limit.statistics;

/**
 * A confidence interval, in the unit of the figure it belongs to.
 *
 * @param low its lower end
 * @param high its upper end
 */
public record Interval(double low, double high) {
  public Interval {
    if (!(low <= high)) {
      throw new IllegalArgumentException(low + " is not below " + high);
    }
  }

  public boolean contains(double value) {
    return low <= value && value <= high;
  }
}
