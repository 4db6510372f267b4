package kitproof.journal;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Locale;
import java.util.function.IntPredicate;

/**
 * A name made of a user's words where only some characters are allowed: the others become {@code
 * %XX} of their UTF-8 bytes.
 *
 * <p>Never empty, at most {@value #LONGEST} characters; different words give different names.
 */
public final class SafeName {
  /** Leaves room for an extension in the 255 bytes that file systems give. */
  static final int LONGEST = 160;

  private static final String PLAIN =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-";

  private SafeName() {}

  /** For a file: only {@code A-Z a-z 0-9 . _ -} are kept, and no file is hidden. */
  public static String ofFile(String words) {
    String name = of(words, c -> PLAIN.indexOf(c) >= 0);
    return name.startsWith(".") ? "%2E" + name.substring(1) : name;
  }

  /**
   * With a rule of one's own.
   *
   * @param kept says of a code point whether it stays; {@code %} never does
   */
  public static String of(String words, IntPredicate kept) {
    StringBuilder name = new StringBuilder();
    words
        .codePoints()
        .forEach(
            c -> {
              if (c != '%' && kept.test(c)) {
                name.appendCodePoint(c);
              } else {
                for (byte b : Character.toString(c).getBytes(StandardCharsets.UTF_8)) {
                  name.append(String.format(Locale.ROOT, "%%%02X", b & 0xff));
                }
              }
            });
    if (name.length() == 0) {
      return "%";
    }
    if (name.length() <= LONGEST - 2) { // ofFile may add two
      return name.toString();
    }
    String digest = "%" + sha256(words).substring(0, 32);
    int end = LONGEST - 2 - digest.length();
    return name.substring(0, Character.isLowSurrogate(name.charAt(end)) ? end - 1 : end) + digest;
  }

  private static String sha256(String words) {
    try {
      return HexFormat.of()
          .formatHex(
              MessageDigest.getInstance("SHA-256").digest(words.getBytes(StandardCharsets.UTF_8)));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
