package kitproof.plot;

/** Words as a document may hold them. */
public final class DocumentText {
  private static final int REPLACEMENT = 0xfffd;

  private DocumentText() {}

  /** The words, each character that neither XML 1.0 (production 2) nor HTML allows replaced. */
  public static String of(String words) {
    StringBuilder clean = new StringBuilder();
    words.codePoints().forEach(c -> clean.appendCodePoint(isAllowed(c) ? c : REPLACEMENT));
    return clean.toString();
  }

  private static boolean isAllowed(int c) {
    boolean control = Character.isISOControl(c) && c != '\n' && c != '\t';
    boolean alone = c >= Character.MIN_SURROGATE && c <= Character.MAX_SURROGATE;
    boolean none = (c & 0xfffe) == 0xfffe || (c >= 0xfdd0 && c <= 0xfdef);
    return !control && !alone && !none;
  }
}
