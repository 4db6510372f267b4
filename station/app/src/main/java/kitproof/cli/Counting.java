package kitproof.cli;

import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;

/**
 * How far something has come, on one line that is wiped in the end; nothing off a terminal. It is
 * painted ten times a second at most, and told how long the rest may take once that can be guessed.
 */
final class Counting implements AutoCloseable {
  private static final int WIDTH = 30;
  private static final long EVERY_NANOS = TimeUnit.MILLISECONDS.toNanos(100);
  private static final long GUESSED_AFTER_NANOS = TimeUnit.SECONDS.toNanos(2);
  private static final String WIPED = "\u001b[K";

  private final @Nullable Terminal terminal;
  private final String what;
  private final LongSupplier nanos;
  private final long begun;
  private long painted;
  private boolean shown;

  Counting(@Nullable Terminal terminal, String what, LongSupplier nanos) {
    this.terminal = terminal != null && terminal.terminal() ? terminal : null;
    this.what = what;
    this.nanos = nanos;
    begun = nanos.getAsLong();
    painted = begun;
  }

  /**
   * Begins.
   *
   * @param terminal null to show nothing
   * @param what is counted, in the plural
   */
  static Counting on(@Nullable Terminal terminal, String what) {
    return new Counting(terminal, what, System::nanoTime);
  }

  void looked(int count) {
    if (isTime()) {
      paint(count + " " + what);
    }
  }

  void looked(int count, int of) {
    if (isTime()) {
      paint(
          String.format(
              Locale.ROOT,
              "[%s] %d of %d %s (%d %%)%s",
              bar(count, of),
              count,
              of,
              what,
              100L * count / of,
              rest(count, of)));
    }
  }

  private static String bar(int count, int of) {
    int full = (int) ((long) WIDTH * count / of);
    return "#".repeat(full) + "-".repeat(WIDTH - full);
  }

  private String rest(int count, int of) {
    long gone = nanos.getAsLong() - begun;
    if (count == 0 || gone < GUESSED_AFTER_NANOS) {
      return "";
    }
    long seconds = Math.round(gone / 1e9 / count * (of - count));
    return seconds < 60
        ? ", " + seconds + " s left"
        : String.format(Locale.ROOT, ", %d:%02d min left", seconds / 60, seconds % 60);
  }

  private boolean isTime() {
    return terminal != null && nanos.getAsLong() - painted >= EVERY_NANOS;
  }

  private void paint(String words) {
    if (terminal != null) {
      terminal.out().print("\r" + words + WIPED);
      terminal.out().flush();
      painted = nanos.getAsLong();
      shown = true;
    }
  }

  @Override
  public void close() {
    if (shown && terminal != null) {
      terminal.out().print("\r" + WIPED);
      terminal.out().flush();
      shown = false;
    }
  }
}
