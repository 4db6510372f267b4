package kitproof.cli;

import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** How far something has come, on one line that is wiped in the end; nothing off a terminal. */
final class Counting implements AutoCloseable {
  private static final int WIDTH = 30;

  /** Often enough to be seen to move, seldom enough to cost nothing. */
  private static final int EVERY = 25;

  private final @Nullable Terminal terminal;
  private final String what;
  private boolean shown;

  private Counting(@Nullable Terminal terminal, String what) {
    this.terminal = terminal;
    this.what = what;
  }

  /**
   * Begins.
   *
   * @param terminal null to show nothing
   * @param what is counted, in the plural
   */
  static Counting on(@Nullable Terminal terminal, String what) {
    return new Counting(terminal != null && terminal.terminal() ? terminal : null, what);
  }

  void looked(int count) {
    show(count, Integer.toString(count) + " " + what);
  }

  void looked(int count, int of) {
    show(
        count,
        String.format(
            Locale.ROOT,
            "[%s] %d of %d %s (%d %%)",
            bar(count, of),
            count,
            of,
            what,
            100L * count / of));
  }

  private static String bar(int count, int of) {
    int full = (int) ((long) WIDTH * count / of);
    return "#".repeat(full) + "-".repeat(WIDTH - full);
  }

  private void show(int count, String words) {
    if (terminal != null && count % EVERY == 0) {
      terminal.out().print("\r" + words + "\u001b[K");
      terminal.out().flush();
      shown = true;
    }
  }

  @Override
  public void close() {
    if (shown && terminal != null) {
      terminal.out().print("\r\u001b[K");
      terminal.out().flush();
      shown = false;
    }
  }
}
