package kitproof.plan;

/** In which form captures are kept. */
public enum KeptAs {
  /** 32-bit integers: every bit of a converter of up to 32 bits. */
  WAV("wav"),
  /** 24-bit integers, packed: every bit of a converter of up to 24 bits; finer ones are rounded. */
  FLAC("flac");

  private final String word;

  KeptAs(String word) {
    this.word = word;
  }

  /** The word in plans, and the end of a file's name. */
  @Override
  public String toString() {
    return word;
  }
}
