package kitproof.event;

/** How a step ended. */
public enum StepOutcome {
  /** Every judged result passed. */
  PASSED("passed"),
  /** A judged result failed; one that could not be measured validly fails its limit too. */
  FAILED("failed"),
  /** The station could not carry it out. */
  ERROR("error"),
  /** Stopped by the operator or for safety. */
  ABORTED("aborted"),
  /** Not begun, because of what happened before; or left out, for a reason that is told. */
  SKIPPED("skipped");

  private final String word;

  StepOutcome(String word) {
    this.word = word;
  }

  /** The word in files and on screens. */
  @Override
  public String toString() {
    return word;
  }
}
