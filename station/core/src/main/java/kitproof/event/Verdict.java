package kitproof.event;

/** The whole run's outcome. */
public enum Verdict {
  /** Every step ran, every limit was met by a measurement and held, the record is durable. */
  PASS("pass", 0),
  /** The unit failed. */
  FAIL("fail", 1),
  /** Ended for safety or by the operator. */
  ABORTED("aborted", 3),
  /** The station failed. */
  ERROR("error", 4);

  private final String word;
  private final int exitCode;

  Verdict(String word, int exitCode) {
    this.word = word;
    this.exitCode = exitCode;
  }

  /**
   * Whether a run that ended so is an attempt of its unit: every one but an error, which says
   * something of the station only. An aborted run is one: the unit did not pass.
   */
  public boolean isAttempt() {
    return this != ERROR;
  }

  /** The program's exit code for a run that ends so. */
  public int exitCode() {
    return exitCode;
  }

  /** The word in files and on screens. */
  @Override
  public String toString() {
    return word;
  }
}
