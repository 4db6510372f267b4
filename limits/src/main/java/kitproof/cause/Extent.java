package kitproof.cause;

/** How many of the results of a name have to show a sign. */
enum Extent {
  SOME("some"),
  EVERY("every");

  private final String word;

  Extent(String word) {
    this.word = word;
  }

  /** The word in files. */
  @Override
  public String toString() {
    return word;
  }
}
