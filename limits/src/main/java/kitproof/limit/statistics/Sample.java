package kitproof.limit.statistics;

/** What a sample must be before anything is computed from it. */
final class Sample {
  private Sample() {}

  /**
   * @throws IllegalArgumentException if there are fewer than {@code least} values or one is not
   *     finite
   */
  static void require(double[] values, int least) {
    if (values.length < least) {
      throw new IllegalArgumentException(
          values.length + " values, where " + least + " or more are needed");
    }
    for (int i = 0; i < values.length; i++) {
      if (!Double.isFinite(values[i])) {
        throw new IllegalArgumentException("value " + (i + 1) + " is not finite");
      }
    }
  }

  /**
   * @throws IllegalArgumentException if it is not between 0 and 1, both excluded
   */
  static void requireProbability(double value, String name) {
    if (!(value > 0 && value < 1)) {
      throw new IllegalArgumentException(name + " " + value + " is not between 0 and 1");
    }
  }
}
