package kitproof.journal;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Locale;

/**
 * A file name made of a user's words: only {@code A-Z a-z 0-9 . _ -}, everything else as {@code
 * %XX} of its UTF-8 bytes, never hidden, never empty, at most {@value #LONGEST} characters. Two
 * different words give two different names.
 */
final class SafeName {
  /** Leaves room for an extension in the 255 bytes that file systems give. */
  static final int LONGEST = 160;

  private SafeName() {}

  static String of(String words) {
    StringBuilder name = new StringBuilder();
    for (byte b : words.getBytes(StandardCharsets.UTF_8)) {
      char c = (char) (b & 0xff);
      boolean kept =
          (c >= 'a' && c <= 'z')
              || (c >= 'A' && c <= 'Z')
              || (c >= '0' && c <= '9')
              || c == '_'
              || c == '-'
              || (c == '.' && name.length() > 0);
      if (kept) {
        name.append(c);
      } else {
        name.append(String.format(Locale.ROOT, "%%%02X", (int) c));
      }
    }
    if (name.length() == 0) {
      return "%";
    }
    if (name.length() <= LONGEST) {
      return name.toString();
    }
    String digest = "%" + sha256(words).substring(0, 32);
    return name.substring(0, LONGEST - digest.length()) + digest;
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
