package kitproof.cause;

/** What may have become of a result. */
enum Finding {
  FAILED("failed"),
  TOO_HIGH("too high"),
  TOO_LOW("too low"),
  PASSED("passed");

  private final String word;

  Finding(String word) {
    this.word = word;
  }

  /** The word in files. */
  @Override
  public String toString() {
    return word;
  }
}
