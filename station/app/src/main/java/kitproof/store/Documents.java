package kitproof.store;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;

/** The documents in a folder of records. */
final class Documents {
  private Documents() {}

  private static final byte[] CAPTURE = "\"capture-kept\"".getBytes(StandardCharsets.UTF_8);

  /** Whether a document may name captures, found without taking it apart. */
  static boolean hasCaptures(Path document) throws IOException {
    byte[] piece = new byte[1 << 16];
    int matched = 0;
    try (InputStream in = Files.newInputStream(document)) {
      for (int read = in.read(piece); read >= 0; read = in.read(piece)) {
        for (int i = 0; i < read; i++) {
          // the first byte, a quotation mark, is the last one too, so a mismatch may begin anew
          matched = piece[i] == CAPTURE[matched] ? matched + 1 : piece[i] == CAPTURE[0] ? 1 : 0;
          if (matched == CAPTURE.length) {
            return true;
          }
        }
      }
    }
    return false;
  }

  /** In the order of their names, which is the order of time. */
  static List<Path> in(Path records) throws IOException {
    try (Stream<Path> files = Files.list(records)) {
      return files
          .filter(f -> f.getFileName().toString().endsWith(".json"))
          .filter(f -> !f.getFileName().toString().startsWith(".")) // one that is being written
          .sorted()
          .toList();
    }
  }
}
