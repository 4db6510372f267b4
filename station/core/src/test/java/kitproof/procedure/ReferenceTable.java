package kitproof.procedure;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;

/** Files of reference values beside these tests. */
final class ReferenceTable {
  private ReferenceTable() {}

  /** The cells of each line of a file, without its head. */
  static List<String[]> rows(String name) throws Exception {
    Path file = Path.of(Objects.requireNonNull(ReferenceTable.class.getResource(name)).toURI());
    return Files.readAllLines(file, StandardCharsets.UTF_8).stream()
        .skip(1)
        .map(line -> line.split(",", -1))
        .toList();
  }
}
