package kitproof.journal;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * How far one reader has come in one journal, kept in a small file: {@code next 17}, or {@code next
 * 42 done} once the run's end is behind it.
 *
 * <p>Not forced to disk: after a loss of power it may be older than it was or unreadable, and then
 * the reader repeats itself, which message ids make harmless. It is never ahead.
 */
public final class Cursor {
  private static final Pattern FORM = Pattern.compile("next (\\d{1,18})( done)?\\s*");

  private final Path file;
  private long next;
  private boolean done;

  Cursor(Path file) throws IOException {
    this.file = file;
    if (Files.exists(file)) {
      Matcher form =
          FORM.matcher(new String(Files.readAllBytes(file), StandardCharsets.ISO_8859_1));
      if (form.matches()) {
        next = Long.parseLong(form.group(1));
        done = form.group(2) != null;
      }
    }
  }

  /** The sequence number of the first entry not yet dealt with. */
  public long next() {
    return next;
  }

  /** Whether the whole run is dealt with. */
  public boolean done() {
    return done;
  }

  /**
   * Moves on.
   *
   * @param to the first entry not yet dealt with
   * @param end whether the entry before it was the run's end
   */
  public void advance(long to, boolean end) throws IOException {
    if (to < next) {
      throw new IllegalArgumentException("a cursor moves on only: " + next + " to " + to);
    }
    Files.createDirectories(file.getParent());
    Durable.replace(file, "next " + to + (end ? " done\n" : "\n"), false);
    next = to;
    done = end;
  }
}
