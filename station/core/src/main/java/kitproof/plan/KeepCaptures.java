package kitproof.plan;

/** Which units' captures are kept beside the record. */
public enum KeepCaptures {
  NONE("none"),
  FAILED("failed"),
  ALL("all");

  private final String word;

  KeepCaptures(String word) {
    this.word = word;
  }

  /** The word in plans. */
  @Override
  public String toString() {
    return word;
  }
}
