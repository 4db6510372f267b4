package kitproof.cli;

import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import kitproof.console.Words;

/**
 * How the standard output is to be written to.
 *
 * @param out in UTF-8
 * @param terminal whether a person watches it
 * @param person whether somebody can type there
 * @param words with emphasis on a terminal, unless NO_COLOR is set
 */
record Terminal(PrintStream out, boolean terminal, boolean person, Words words) {
  private static final BufferedReader TYPED =
      new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));

  /** Lines as a person types them; one reader for the whole program, so that none is lost. */
  static BufferedReader typed() {
    return TYPED;
  }

  static Terminal find() {
    boolean person = System.console() != null;
    boolean terminal = person && !"dumb".equals(System.getenv("TERM"));
    boolean emphasis = terminal && System.getenv("NO_COLOR") == null;
    return new Terminal(
        new PrintStream(System.out, true, StandardCharsets.UTF_8),
        terminal,
        person,
        new Words(emphasis));
  }
}
