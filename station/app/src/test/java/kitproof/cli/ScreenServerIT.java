package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Collections;
import java.util.HashMap;
import java.util.Map;
import kitproof.web.Access;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The operator's screen on the wire, spoken to by its own page and by strangers. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class ScreenServerIT {
  private static final String ORDER =
      "{\"plan\":\"ask.yaml\",\"unit\":\"LN12-001\",\"batch\":\"\",\"again\":false}";

  @TempDir static Path folder;
  private final HttpClient client = HttpClient.newHttpClient();
  private Served served;

  @BeforeAll
  void serve() throws Exception {
    Served.plan(
        folder,
        "ask",
        "- {step: connect, procedure: prompt, say: Connect the unit}\n"
            + "- {step: hv, procedure: reading, meter: hv-meter, function: hv, result: hv}\n");
    Served.limits(folder, "ask", "- {result: hv, high: 348 V}\n");
    served = new Served(folder, 100, new Access("127.0.0.1", 0, null));
  }

  @AfterAll
  void stop() {
    served.close();
  }

  /** A browser with its cookie and its page's token. */
  private final class Browser {
    private final String cookie;
    private final String token;

    Browser() throws Exception {
      cookie =
          send(request("/").build()).headers().firstValue("Set-Cookie").orElseThrow().split(";")[0];
      token =
          json(send(request("/api/state").header("Cookie", cookie).build())).get("token").asText();
      assertThat(token).hasSize(64);
    }

    JsonNode state() throws Exception {
      return json(send(request("/api/state").header("Cookie", cookie).build()));
    }

    HttpResponse<String> post(String path, String body, Map<String, String> changed)
        throws Exception {
      Map<String, String> headers = new HashMap<>();
      headers.put("Cookie", cookie);
      headers.put("Kitproof-Token", token);
      headers.put("Origin", "http://127.0.0.1:" + served.port());
      headers.putAll(changed);
      HttpRequest.Builder request = request(path).POST(HttpRequest.BodyPublishers.ofString(body));
      headers.forEach(
          (name, value) -> {
            if (!value.isEmpty()) {
              request.header(name, value);
            }
          });
      return send(request.build());
    }

    JsonNode say(String path, String body) throws Exception {
      HttpResponse<String> answer = post(path, body, Map.of());
      assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
      return json(answer);
    }
  }

  private HttpRequest.Builder request(String path) {
    return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + served.port() + path));
  }

  private HttpResponse<String> send(HttpRequest request) throws Exception {
    return client.send(request, HttpResponse.BodyHandlers.ofString());
  }

  private static JsonNode json(HttpResponse<String> answer) throws IOException {
    return new ObjectMapper().readTree(answer.body());
  }

  @ParameterizedTest
  @CsvSource({
    "Origin, http://evil.example",
    "Origin, ''",
    "Kitproof-Token, ''",
    "Kitproof-Token, 0000000000000000000000000000000000000000000000000000000000000000",
    "Cookie, ''",
    "Cookie, kitproof-seat=00000000000000000000000000000000",
    "X-Forwarded-For, 192.0.2.9",
    "Forwarded, for=192.0.2.9",
  })
  void whatAnotherSiteOrSomebodyFromAfarSaysStartsNothing(String header, String value)
      throws Exception {
    Browser browser = new Browser();
    assertThat(browser.post("/api/start", ORDER, Map.of(header, value)).statusCode())
        .isEqualTo(403);
    assertThat(browser.state().get("running").asBoolean()).isFalse();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "/api/control | {\"take\":true}",
        "/api/answer | {\"number\":1,\"declined\":false,\"text\":\"\"}",
        "/api/stop | {\"watch\":false}",
      })
  void whatAnotherSiteSaysIsRefusedWhateverItIs(String path, String body) throws Exception {
    Browser browser = new Browser();
    assertThat(browser.post(path, body, Map.of("Origin", "http://evil.example")).statusCode())
        .isEqualTo(403);
    assertThat(browser.post(path, body, Map.of("Kitproof-Token", "")).statusCode()).isEqualTo(403);
    assertThat(browser.state().at("/control/mine").asBoolean()).isFalse();
    assertThat(browser.post(path, body, Map.of()).statusCode()).as("its own page").isEqualTo(200);
    assertThat(browser.post("/api/control", "{\"take\":false}", Map.of()).statusCode())
        .isEqualTo(200);
  }

  @Test
  void oneDrivesTheOthersWatchAndEverybodyStops() throws Exception {
    Browser one = new Browser();
    Browser two = new Browser();
    assertThat(one.say("/api/start", ORDER).get("done").asBoolean()).isTrue();
    await()
        .atMost(Duration.ofSeconds(20))
        .until(() -> one.state().at("/run/question/number").isNumber());
    long number = one.state().at("/run/question/number").asLong();
    String done = "{\"number\":" + number + ",\"declined\":false,\"text\":\"\"}";
    assertThat(two.state().at("/control/free").asBoolean()).isFalse();
    assertThat(two.say("/api/answer", done).get("refused").asText()).contains("somebody else");
    assertThat(two.say("/api/start", ORDER).get("refused").asText()).contains("somebody else");
    assertThat(two.say("/api/control", "{\"take\":true}").get("refused").asText())
        .contains("somebody else");
    String old = "{\"number\":" + (number - 1) + ",\"declined\":false,\"text\":\"\"}";
    assertThat(one.say("/api/answer", old).get("refused").asText()).contains("not stand any more");
    assertThat(one.say("/api/start", ORDER).get("refused").asText()).contains("is going on");
    assertThat(two.say("/api/stop", "{\"watch\":false}").get("done").asBoolean()).isTrue();
    await().atMost(Duration.ofSeconds(20)).until(() -> !one.state().get("running").asBoolean());
    assertThat(one.state().at("/run/verdict").asText()).isEqualTo("aborted");
    assertThat(one.say("/api/stop", "{\"watch\":false}").get("refused").asText())
        .contains("nothing is running");
  }

  @Test
  void aStartThatIsRefusedLeavesTheControlsWhereTheyAre() throws Exception {
    Browser one = new Browser();
    Browser two = new Browser();
    assertThat(one.say("/api/control", "{\"take\":true}").get("done").asBoolean()).isTrue();
    assertThat(one.state().at("/control/mine").asBoolean()).isTrue();
    String wrong = ORDER.replace("LN12-001", "no serial number");
    assertThat(two.say("/api/start", wrong).get("done").asBoolean()).isFalse();
    assertThat(one.state().at("/control/mine").asBoolean()).isTrue();
    assertThat(two.state().at("/control/mine").asBoolean()).isFalse();
    assertThat(one.say("/api/control", "{\"take\":false}").get("done").asBoolean()).isTrue();
  }

  @Test
  void somebodyFromAfarMayLookAndStopButDoesNotDrive() throws Exception {
    Browser near = new Browser();
    Browser far = new Browser();
    Map<String, String> forwarded = Map.of("X-Forwarded-For", "192.0.2.9");
    assertThat(near.say("/api/start", ORDER).get("done").asBoolean()).isTrue();
    assertThat(far.post("/api/control", "{\"take\":true}", forwarded).statusCode()).isEqualTo(403);
    await().atMost(Duration.ofSeconds(20)).until(() -> near.state().get("run").isObject());
    assertThat(far.post("/api/stop", "{\"watch\":false}", forwarded).statusCode()).isEqualTo(200);
    await().atMost(Duration.ofSeconds(20)).until(() -> !near.state().get("running").asBoolean());
    assertThat(near.state().at("/run/reason").asText()).contains("a screen that watches");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "{\"plan\":\"../ask.yaml\",\"unit\":\"LN12-001\"}",
        "{\"plan\":\"/etc/passwd\",\"unit\":\"LN12-001\"}",
        "{\"plan\":\"bench.yaml\",\"unit\":\"LN12-001\"}",
        "{\"plan\":\"ask.yaml\",\"unit\":\"../../LN12-001\"}",
        "{\"plan\":\"ask.yaml\",\"unit\":\"LN12-001\\u0007\"}",
        "{\"plan\":\"ask.yaml\",\"unit\":\"LN12-001\",\"batch\":\"a\\u001bb\"}",
        "{\"plan\":\"ask.yaml\",\"unit\":\"\"}",
        "{}",
      })
  void aPlanIsChosenFromTheShelfAndASerialNumberIsOne(String order) throws Exception {
    Browser browser = new Browser();
    JsonNode said = browser.say("/api/start", order);
    assertThat(said.get("done").asBoolean()).isFalse();
    assertThat(said.get("refused").asText()).isNotEmpty();
    assertThat(browser.state().get("running").asBoolean()).isFalse();
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "[]", "null", "{\"take\":", "{\"take\":true,\"more\":1}", "\"x\""})
  void whatIsNotWhatThePageSaysIsRefused(String body) throws Exception {
    assertThat(new Browser().post("/api/control", body, Map.of()).statusCode()).isEqualTo(400);
  }

  @Test
  void theBenchWasMadeSafeBeforeAnybodyCouldUseIt() throws Exception {
    assertThat(new Browser().state().get("notes").toString())
        .contains("The bench is in its safe state, read back when this program started.");
  }

  @Test
  void requestsAreBounded() throws Exception {
    String body = "{\"plan\":\"" + "x".repeat(100_000) + "\"}";
    assertThat(new Browser().post("/api/start", body, Map.of()).statusCode()).isEqualTo(413);
  }

  @Test
  void thePapersOfALargeBenchAreNotTooMuch() throws Exception {
    String field = "x".repeat(100);
    String paper =
        String.format(
            "{\"role\":\"hv-meter\",\"number\":\"%s\",\"by\":\"%s\",\"date\":\"%s\",\"due\":\"%s\"}",
            field, field, field, field);
    String papers =
        "{\"certificates\":["
            + String.join(",", Collections.nCopies(20, paper))
            + "],\"accuracies\":[]}";
    String order = ORDER.replace("}", ",\"papers\":" + papers + "}");
    assertThat(order.length()).as("letters").isGreaterThan(8000);
    HttpResponse<String> answer = new Browser().post("/api/start", order, Map.of());
    assertThat(answer.statusCode()).as(answer.body()).isNotEqualTo(413);
    assertThat(answer.body()).as("it was read").contains(field);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"/../../etc/passwd", "/%2e%2e/records", "/records", "/overview.html", "/unit"})
  void nothingElseIsServed(String path) throws Exception {
    try (Socket socket = new Socket("127.0.0.1", served.port())) {
      socket.setSoTimeout(5000);
      socket
          .getOutputStream()
          .write(
              ("GET " + path + " HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
                  .getBytes(StandardCharsets.ISO_8859_1));
      assertThat(new String(socket.getInputStream().readNBytes(200), StandardCharsets.ISO_8859_1))
          .startsWith("HTTP/1.1 4");
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/",
        "/operator.js",
        "/order.js",
        "/papers.js",
        "/question.js",
        "/verdict.js",
        "/live.js",
        "/dom.js",
        "/api/state",
        "/api/plans",
      })
  void everyAnswerTellsTheBrowserToTrustNothingElse(String path) throws Exception {
    HttpResponse<String> answer = send(request(path).build());
    assertThat(answer.statusCode()).isEqualTo(200);
    assertThat(answer.headers().firstValue("Content-Security-Policy").orElse(""))
        .contains("default-src 'none'", "script-src 'self'", "frame-ancestors 'none'")
        .doesNotContain("unsafe");
    assertThat(answer.body()).doesNotContain("innerHTML", "outerHTML", "insertAdjacentHTML");
  }

  @Test
  void anotherNameThatLeadsHereIsRefused() throws Exception {
    try (Socket socket = new Socket("127.0.0.1", served.port())) {
      socket
          .getOutputStream()
          .write(
              "GET /api/state HTTP/1.1\r\nHost: shop.example\r\nConnection: close\r\n\r\n"
                  .getBytes(StandardCharsets.US_ASCII));
      assertThat(new String(socket.getInputStream().readNBytes(12), StandardCharsets.US_ASCII))
          .isEqualTo("HTTP/1.1 403");
    }
  }
}
