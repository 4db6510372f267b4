package kitproof.cli;

import java.io.PrintWriter;
import java.io.Writer;
import java.util.function.Consumer;

/** Prints what is written and tells each whole line to somebody else as well. */
final class NotesWriter extends Writer {
  private final PrintWriter out;
  private final Consumer<String> told;
  private final StringBuilder line = new StringBuilder();

  NotesWriter(PrintWriter out, Consumer<String> told) {
    this.out = out;
    this.told = told;
  }

  @Override
  public void write(char[] buffer, int offset, int length) {
    synchronized (lock) {
      out.write(buffer, offset, length);
      for (int i = offset; i < offset + length; i++) {
        if (buffer[i] == '\n') {
          told.accept(line.toString().strip());
          line.setLength(0);
        } else {
          line.append(buffer[i]);
        }
      }
    }
  }

  @Override
  public void flush() {
    out.flush();
  }

  /** What is printed to belongs to somebody else. */
  @Override
  public void close() {
    flush();
  }
}
