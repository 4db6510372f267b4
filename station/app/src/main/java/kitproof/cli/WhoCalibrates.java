package kitproof.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;

/** Asks at a terminal who calibrates: the file says it, and who judges by it may want to know. */
final class WhoCalibrates {
  private WhoCalibrates() {}

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
      String name = line.replaceAll("\\p{Cntrl}", "").strip();
      if (!name.isEmpty()) {
        return name;
      }
    }
  }
}
