package kitproof.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import java.io.PrintWriter;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.cause.CauseFile;
import kitproof.cause.Suggestion;
import kitproof.value.Problem;

/** What commands print: problems for people, JSON for programs. */
final class Printed {
  private static final ObjectMapper JSON =
      new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT);

  private Printed() {}

  /** One JSON document. */
  static void json(PrintWriter out, Object value) {
    try {
      out.println(JSON.writeValueAsString(value));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("maps, lists and numbers always become JSON", e);
    }
    out.flush();
  }

  /** Problems, one a line, and how many there are. */
  static void problems(PrintWriter out, List<Problem> problems) {
    problems.forEach(out::println);
    out.println(problems.size() == 1 ? "1 problem" : problems.size() + " problems");
    out.flush();
  }

  /**
   * What may be behind a failure, with the caution that belongs to it; nothing if there is nothing.
   */
  static void causes(PrintWriter out, List<Suggestion> causes) {
    if (causes.isEmpty()) {
      return;
    }
    out.println("What this usually means:");
    for (Suggestion one : causes) {
      String where = one.where().isEmpty() ? "" : " (" + one.where() + ")";
      out.println("  " + one.cause() + where + ": " + String.join(", ", one.because()));
      if (!one.look().isEmpty()) {
        out.println("      " + one.look());
      }
    }
    out.println("  " + CauseFile.CAUTION);
    out.flush();
  }

  /** A problem for a program to read. */
  static Map<String, Object> json(Problem problem) {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("file", problem.location().file());
    fields.put("line", problem.location().line());
    fields.put("column", problem.location().column());
    fields.put("found", problem.found());
    fields.put("expected", problem.expected());
    String nearest = problem.nearest();
    if (nearest != null) {
      fields.put("nearest", nearest);
    }
    return fields;
  }
}
