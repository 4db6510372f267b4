package kitproof.journal;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** "sha256:" and the hexadecimal SHA-256 (FIPS 180-4) of what a file holds. */
public final class Digests {
  private Digests() {}

  /** Of a text in UTF-8. */
  static String of(String text) {
    return words(sha256().digest(text.getBytes(StandardCharsets.UTF_8)));
  }

  /** Of a file, read piece by piece. */
  public static String of(Path file) throws IOException {
    MessageDigest digest = sha256();
    byte[] piece = new byte[1 << 16];
    try (InputStream in = Files.newInputStream(file)) {
      for (int read = in.read(piece); read >= 0; read = in.read(piece)) {
        digest.update(piece, 0, read);
      }
    }
    return words(digest.digest());
  }

  private static String words(byte[] digest) {
    return "sha256:" + HexFormat.of().formatHex(digest);
  }

  private static MessageDigest sha256() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
