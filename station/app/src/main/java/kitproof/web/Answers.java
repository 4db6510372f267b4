package kitproof.web;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.javalin.http.BadRequestResponse;
import io.javalin.http.Context;
import io.javalin.http.NotFoundResponse;
import kitproof.board.BatchKey;
import kitproof.board.Board;
import org.jspecify.annotations.Nullable;

/** What the pages ask the board, as JSON. */
final class Answers {
  private static final ObjectMapper JSON = new ObjectMapper();

  private final Board board;

  Answers(Board board) {
    this.board = board;
  }

  void overview(Context request) {
    BatchKey batch = request.queryParam("product") == null ? null : batch(request);
    send(request, board.overview(batch, page(request.queryParam("page"))));
  }

  void unit(Context request) {
    send(
        request,
        board
            .unit(
                wanted(request, "shop"),
                wanted(request, "product"),
                wanted(request, "unit"),
                request.queryParam("run"))
            .orElseThrow(() -> new NotFoundResponse("nothing has been told of this unit")));
  }

  void result(Context request) {
    send(
        request,
        board
            .across(batch(request), wanted(request, "name"), request.queryParam("conditions"))
            .orElseThrow(() -> new NotFoundResponse("no unit of this batch has such a result")));
  }

  private static BatchKey batch(Context request) {
    return new BatchKey(
        wanted(request, "shop"), wanted(request, "product"), wanted(request, "batch"));
  }

  private static String wanted(Context request, String name) {
    String value = request.queryParam(name);
    if (value == null) {
      throw new BadRequestResponse("which " + name + "?");
    }
    return value;
  }

  private static int page(@Nullable String text) {
    try {
      return text == null ? 0 : Integer.parseInt(text);
    } catch (NumberFormatException e) {
      throw new BadRequestResponse("which page?");
    }
  }

  private static void send(Context request, Object view) {
    try {
      request.contentType("application/json").result(JSON.writeValueAsBytes(view));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("views always become JSON", e);
    }
  }
}
