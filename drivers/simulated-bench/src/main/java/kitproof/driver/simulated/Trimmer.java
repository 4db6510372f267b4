package kitproof.driver.simulated;

/** What can be turned inside the simulated unit. */
enum Trimmer {
  BIAS_LEFT("bias-left"),
  BIAS_RIGHT("bias-right");

  /** From the middle to either end the grid bias changes by this part of itself. */
  private static final double REACH = 0.25;

  private final String word;

  Trimmer(String word) {
    this.word = word;
  }

  /** The channel it belongs to: 0 left, 1 right. */
  int channel() {
    return ordinal();
  }

  /**
   * What a position does to the grid bias.
   *
   * @param position 0…1
   */
  static double factor(double position) {
    return 1 + 2 * REACH * (position - 0.5);
  }

  /** The word in bench files. */
  @Override
  public String toString() {
    return word;
  }
}
