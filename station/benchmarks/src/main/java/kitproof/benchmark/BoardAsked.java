package kitproof.benchmark;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Arrays;

/** What a board answers to whoever asks, and how long that takes. */
final class BoardAsked {
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final HttpClient HTTP = HttpClient.newHttpClient();
  private static final int TIMES = 11;

  private BoardAsked() {}

  /** The answer; empty if there is none. */
  static JsonNode get(PagesProgram board, String path) throws IOException {
    return JSON.readTree(ask(board, path));
  }

  static String ask(PagesProgram board, String path) throws IOException {
    URI uri = URI.create(board.address()).resolve(path);
    try {
      HttpResponse<String> answer =
          HTTP.send(HttpRequest.newBuilder(uri).build(), HttpResponse.BodyHandlers.ofString());
      return answer.statusCode() == 200 ? answer.body() : "{}";
    } catch (InterruptedException e) {
      throw new IOException(e);
    }
  }

  /** The median of some. */
  static double millis(PagesProgram board, String path) throws IOException {
    double[] millis = new double[TIMES];
    for (int i = 0; i < millis.length; i++) {
      long began = System.nanoTime();
      ask(board, path);
      millis[i] = (System.nanoTime() - began) / 1e6;
    }
    Arrays.sort(millis);
    return millis[millis.length / 2];
  }

  static String encoded(String word) {
    return URLEncoder.encode(word, StandardCharsets.UTF_8);
  }

  /** Something that becomes true. */
  interface Condition {
    boolean holds() throws IOException;
  }

  /**
   * Waits for it.
   *
   * @throws IOException if it does not become true within ten minutes
   */
  static void await(Condition condition) throws IOException, InterruptedException {
    if (!comes(Duration.ofMinutes(10), condition)) {
      throw new IOException("the board did not come so far");
    }
  }

  /** Whether it becomes true within so long. */
  static boolean comes(Duration within, Condition condition)
      throws IOException, InterruptedException {
    long end = System.nanoTime() + within.toNanos();
    while (!condition.holds()) {
      if (System.nanoTime() > end) {
        return false;
      }
      Thread.sleep(20);
    }
    return true;
  }
}
