package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Secrets come from the environment or a file named there, never from the command line. */
final class Token {
  private Token() {}

  /**
   * The value of a variable, or else the first line of the file that the variable with "_FILE"
   * names; null if there is neither.
   */
  static @Nullable String from(Map<String, String> environment, String variable)
      throws IOException {
    String token = environment.get(variable);
    String file = environment.get(variable + "_FILE");
    if (token == null && file != null) {
      List<String> lines = Files.readAllLines(Path.of(file));
      return lines.isEmpty() ? "" : lines.get(0).strip();
    }
    return token;
  }
}
