package kitproof.report;

/** The sizes of sheets. */
public enum Paper {
  /** ISO 216. */
  A4("A4", 210, 297),
  /** ANSI/ASME Y14.1, size A. */
  LETTER("Letter", 215.9, 279.4);

  private final String word;
  private final double width;
  private final double height;

  Paper(String word, double width, double height) {
    this.word = word;
    this.width = width;
    this.height = height;
  }

  /** In millimetres. */
  public double width() {
    return width;
  }

  /** In millimetres. */
  public double height() {
    return height;
  }

  /** The word on the command line. */
  @Override
  public String toString() {
    return word;
  }
}
