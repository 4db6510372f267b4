package kitproof.screen;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.javalin.http.BadRequestResponse;
import io.javalin.http.Context;
import java.util.List;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/**
 * An answer to something said.
 *
 * @param done whether it was taken
 * @param refused why not, in a sentence
 * @param problems what is wrong with the files, a line each
 * @param passed the run in which the unit has passed already
 */
record Said(boolean done, String refused, List<String> problems, @Nullable String passed) {
  private static final ObjectMapper JSON = new ObjectMapper();

  static final Said DONE = new Said(true, "", List.of(), null);

  static Said refused(String why) {
    return new Said(false, why, List.of(), null);
  }

  static List<String> texts(List<Problem> problems) {
    return problems.stream().map(Problem::toString).toList();
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
