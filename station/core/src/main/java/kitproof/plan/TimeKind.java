package kitproof.plan;

/** How time passes on a bench. */
public enum TimeKind {
  /** As it does. */
  REAL("real"),
  /** As fast as the processor; only for a bench whose every instrument is simulated. */
  SIMULATED("simulated");

  private final String word;

  TimeKind(String word) {
    this.word = word;
  }

  /** The word in bench files. */
  @Override
  public String toString() {
    return word;
  }
}
