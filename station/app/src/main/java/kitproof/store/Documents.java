package kitproof.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;

/** The documents in a folder of records. */
final class Documents {
  private Documents() {}

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
