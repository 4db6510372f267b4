package kitproof.screen;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.javalin.http.BadRequestResponse;
import io.javalin.http.Context;
import java.io.File;
import java.util.List;
import java.util.regex.Pattern;
import kitproof.value.Location;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/**
 * An answer to something said.
 *
 * @param done whether it was taken
 * @param refused why not, in a sentence
 * @param problems what is wrong with the files, a line each
 * @param passed the run in which the unit has passed already
 * @param locked whether the station is locked, which a named person may open
 */
record Said(
    boolean done, String refused, List<String> problems, @Nullable String passed, boolean locked) {
  /** Of a path from the root on, all but the last name. */
  private static final Pattern FOLDERS =
      Pattern.compile("(?<![\\p{Alnum}.])(?:\\p{Alpha}:\\\\|/)(?:[^\\s\"/\\\\:;,]+[/\\\\])+");

  private static final ObjectMapper JSON = new ObjectMapper();

  static final Said DONE = new Said(true, "", List.of(), null, false);

  static Said refused(String why) {
    return new Said(false, why, List.of(), null, false);
  }

  /** Without the folders of this machine, which are nobody's business at the far end of a line. */
  static List<String> texts(List<Problem> problems) {
    return problems.stream().map(Said::text).toList();
  }

  private static String text(Problem problem) {
    Location at = problem.location();
    String file = at.file().substring(at.file().lastIndexOf(File.separatorChar) + 1);
    return new Problem(
            new Location(file, at.line(), at.column()),
            withoutFolders(problem.found()),
            withoutFolders(problem.expected()),
            problem.nearest())
        .toString();
  }

  private static String withoutFolders(String words) {
    return FOLDERS.matcher(words).replaceAll("");
  }

  /** Reads what a page says. */
  static <T> T body(Context request, Class<T> type) {
    try {
      T body = JSON.readValue(request.body(), type);
      if (body != null) {
        return body;
      }
    } catch (JsonProcessingException e) {
      throw new BadRequestResponse("that is not what this page says");
    }
    throw new BadRequestResponse("that says nothing");
  }

  /** Answers. */
  static void send(Context request, Object view) {
    try {
      request.contentType("application/json").result(JSON.writeValueAsString(view));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("views always become JSON", e);
    }
  }
}
