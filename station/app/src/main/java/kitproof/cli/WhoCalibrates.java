package kitproof.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;

/** Asks at a terminal who calibrates: the file says it, and who judges by it may want to know. */
final class WhoCalibrates {
  private WhoCalibrates() {}

  /** A name without characters that cannot be seen, of which a file cannot hold all. */
  static String plain(String name) {
    return name.replaceAll("\\p{Cntrl}", "").strip();
  }

  /**
   * Asks until something is typed.
   *
   * @param typed lines as a person types them
   * @return the name; empty if nothing more can be typed
   */
  static String ask(BufferedReader typed, PrintWriter out) throws IOException {
    while (true) {
      out.print("Who calibrates? Name: ");
      out.flush();
      String line = typed.readLine();
      if (line == null) {
        out.println();
        return "";
      }
      String name = plain(line);
      if (!name.isEmpty()) {
        return name;
      }
    }
  }
}
