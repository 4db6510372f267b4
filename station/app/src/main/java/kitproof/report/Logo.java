package kitproof.report;

import java.util.Base64;
import java.util.List;

/**
 * A picture, kept whole so that a certificate needs nothing beside it.
 *
 * @param kind its media type
 * @param base64 its bytes
 */
public record Logo(String kind, String base64) {
  private static final byte[] PNG = {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'};
  private static final byte[] JPEG = {(byte) 0xff, (byte) 0xd8, (byte) 0xff};
  private static final List<byte[]> BEGINNINGS = List.of(PNG, JPEG);
  private static final List<String> KINDS = List.of("image/png", "image/jpeg");

  /**
   * The picture with these bytes.
   *
   * @throws IllegalArgumentException if it is neither PNG nor JPEG, saying what is expected
   */
  static Logo of(byte[] bytes) {
    for (int kind = 0; kind < KINDS.size(); kind++) {
      if (begins(bytes, BEGINNINGS.get(kind))) {
        return new Logo(KINDS.get(kind), Base64.getEncoder().encodeToString(bytes));
      }
    }
    throw new IllegalArgumentException("a PNG or JPEG picture");
  }

  private static boolean begins(byte[] bytes, byte[] with) {
    for (int i = 0; i < with.length; i++) {
      if (i >= bytes.length || bytes[i] != with[i]) {
        return false;
      }
    }
    return true;
  }

  /** As a reference that holds the picture itself. */
  String uri() {
    return "data:" + kind + ";base64," + base64;
  }
}
