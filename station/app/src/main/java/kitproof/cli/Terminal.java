package kitproof.cli;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import kitproof.console.Words;

/**
 * How the standard output is to be written to.
 *
 * @param out in UTF-8
 * @param terminal whether a person watches it
 * @param words with emphasis on a terminal, unless NO_COLOR is set
 */
record Terminal(PrintStream out, boolean terminal, Words words) {
  static Terminal find() {
    boolean terminal = System.console() != null && !"dumb".equals(System.getenv("TERM"));
    boolean emphasis = terminal && System.getenv("NO_COLOR") == null;
    return new Terminal(
        new PrintStream(System.out, true, StandardCharsets.UTF_8), terminal, new Words(emphasis));
  }
}
