package kitproof.limit;

/** How a measured value is compared with its limit (JCGM 106:2012). */
public enum DecisionRule {
  /** The value itself decides; its uncertainty does not move the limits. */
  SIMPLE_ACCEPTANCE("simple acceptance"),
  /** A value is accepted only as far inside its limits as its uncertainty asks for. */
  GUARDED_ACCEPTANCE("guarded acceptance");

  private final String word;

  DecisionRule(String word) {
    this.word = word;
  }

  /** The word in files and on screens. */
  @Override
  public String toString() {
    return word;
  }
}
