package kitproof.web;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.util.HexFormat;

/**
 * Something that only this process knows, and what it makes of it: names that cannot be guessed,
 * and for each a token that only this process can have given.
 */
public final class Secret {
  private static final int BYTES = 16;

  private final SecureRandom chance = new SecureRandom();
  private final byte[] key = bytes(32);

  private byte[] bytes(int count) {
    byte[] bytes = new byte[count];
    chance.nextBytes(bytes);
    return bytes;
  }

  /** A name that nobody can guess, in hexadecimal digits. */
  public String name() {
    return HexFormat.of().formatHex(bytes(BYTES));
  }

  /** Whether it looks like one of {@link #name}. */
  public static boolean isName(String text) {
    return text.matches("[0-9a-f]{" + 2 * BYTES + "}");
  }

  /** The token that belongs to a name. */
  public String token(String name) {
    try {
      // Name and key have fixed lengths, and nothing can be appended to a name.
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      digest.update(key);
      digest.update(name.getBytes(StandardCharsets.UTF_8));
      digest.update(key);
      return HexFormat.of().formatHex(digest.digest());
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }

  /** Whether this token belongs to the name, in a time that tells nothing. */
  public boolean fits(String token, String name) {
    return MessageDigest.isEqual(
        token.getBytes(StandardCharsets.UTF_8), token(name).getBytes(StandardCharsets.UTF_8));
  }
}
