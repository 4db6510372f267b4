package kitproof.web;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.javalin.http.BadRequestResponse;
import io.javalin.http.Context;
import io.javalin.http.HttpStatus;
import io.javalin.http.NotFoundResponse;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.ZoneId;
import java.time.ZoneOffset;
import kitproof.board.Across;
import kitproof.board.BatchKey;
import kitproof.board.Board;
import org.jspecify.annotations.Nullable;

/** What the pages ask the board, as JSON. */
final class Answers {
  private static final ObjectMapper JSON = new ObjectMapper();

  /** Which overview. */
  private record Asked(@Nullable BatchKey batch, int page) {}

  /** Which result of a batch. */
  private record AskedOfResult(BatchKey batch, Across across) {}

  /** As time passes what is expected changes, also if nothing is told. */
  private static final Duration FRESH = Duration.ofSeconds(2);

  /** What values tell does not change with the time. */
  private static final Duration LONG = Duration.ofDays(1);

  private final Board board;

  /** Tells this board's versions from those of one before it. */
  private final String began = new Secret().name();

  private final Remembered<Asked> overviews = new Remembered<>(FRESH);

  /** Regression, analysis of variance and charts over thousands of units take a while. */
  private final Remembered<AskedOfResult> results = new Remembered<>(LONG);

  Answers(Board board) {
    this.board = board;
  }

  void overview(Context request) {
    BatchKey batch = request.queryParam("product") == null ? null : batch(request);
    int page = page(request.queryParam("page"));
    send(
        request,
        overviews.answer(
            new Asked(batch, page),
            board.version(),
            board.now(),
            () -> json(board.overview(batch, page))));
  }

  void unit(Context request) {
    String shop = wanted(request, "shop");
    String product = wanted(request, "product");
    String unit = wanted(request, "unit");
    if (isNews(request, board.version(shop, product, unit))) {
      send(
          request,
          json(
              board
                  .unit(shop, product, unit, request.queryParam("run"))
                  .orElseThrow(() -> new NotFoundResponse("nothing has been told of this unit"))));
    }
  }

  void result(Context request) {
    BatchKey batch = batch(request);
    Across asked = across(request);
    long version = board.version(batch);
    if (isNews(request, version)) {
      send(
          request,
          results.answer(
              new AskedOfResult(batch, asked),
              version,
              board.now(),
              () ->
                  json(
                      board
                          .across(batch, asked)
                          .orElseThrow(
                              () ->
                                  new NotFoundResponse(
                                      "no unit of this batch has such a result")))));
    }
  }

  /**
   * Whether the page that asks has not seen this yet; if it has, a short answer says so. In a shop
   * where something changes several times a second, most of it concerns another page.
   */
  private boolean isNews(Context request, long version) {
    String tag = "\"" + began + "-" + version + "\"";
    request.header("ETag", tag);
    if (!tag.equals(request.header("If-None-Match"))) {
      return true;
    }
    request.status(HttpStatus.NOT_MODIFIED);
    return false;
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

  private static Across across(Context request) {
    String groups = request.queryParam("groups");
    try {
      return new Across(
          wanted(request, "name"),
          request.queryParam("conditions"),
          page(request.queryParam("page")),
          groups == null ? Across.USUAL_SUBGROUP : Integer.parseInt(groups),
          zone(request.queryParam("zone")),
          request.queryParam("standard"));
    } catch (IllegalArgumentException e) {
      throw new BadRequestResponse("which groups? expected a few units");
    }
  }

  /** A browser may know a zone that is not known here; the page says which one is meant. */
  private static ZoneId zone(@Nullable String name) {
    try {
      return name == null ? ZoneOffset.UTC : ZoneId.of(name);
    } catch (DateTimeException e) {
      return ZoneOffset.UTC;
    }
  }

  private static int page(@Nullable String text) {
    try {
      return text == null ? 0 : Integer.parseInt(text);
    } catch (NumberFormatException e) {
      throw new BadRequestResponse("which page?");
    }
  }

  private static void send(Context request, String json) {
    request.contentType("application/json").result(json);
  }

  private static String json(Object view) {
    try {
      return JSON.writeValueAsString(view);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("views always become JSON", e);
    }
  }
}
