package kitproof.plan;

/** What a failed result does to the rest of the run. */
public enum OnFail {
  GO_ON("go on"),
  STOP("stop");

  private final String word;

  OnFail(String word) {
    this.word = word;
  }

  /** The word in plans. */
  @Override
  public String toString() {
    return word;
  }
}
