package kitproof.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import kitproof.journal.History;
import kitproof.plan.Plan;

/** Asks before a run which unit it is for, and whether a unit that has passed is meant again. */
final class UnitQuestion {
  private final PrintStream out;
  private final BufferedReader typed;
  private final Plan plan;
  private final Path records;

  UnitQuestion(PrintStream out, BufferedReader typed, Plan plan, Path records) {
    this.out = out;
    this.typed = typed;
    this.plan = plan;
    this.records = records;
  }

  /** A serial number of the plan's kind, typed or scanned; empty if the input ends before it. */
  Optional<String> serial() throws IOException {
    while (true) {
      out.print("Serial number of the unit, typed or scanned: ");
      out.flush();
      String line = typed.readLine();
      if (line == null) {
        return Optional.empty();
      }
      Optional<String> wrong = Serial.wrong(plan, line.strip(), History.units(records));
      if (wrong.isEmpty()) {
        return Optional.of(line.strip());
      }
      out.println(wrong.get());
    }
  }

  /** Whether a unit that has passed is to be tested again. */
  boolean again(String unit, History.Attempt passed) throws IOException {
    while (true) {
      out.print(already(unit, passed) + ". Test it again? yes or no: ");
      out.flush();
      String line = typed.readLine();
      String word = line == null ? "no" : line.strip().toLowerCase(Locale.ROOT);
      if (List.of("yes", "y", "no", "n").contains(word)) {
        return word.startsWith("y");
      }
    }
  }

  /** "LN12-001 has passed in run …". */
  static String already(String unit, History.Attempt passed) {
    return unit + " has passed in run " + passed.run();
  }
}
