package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.board.Board;
import kitproof.board.Sender;
import kitproof.mqtt.Message;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The server on the wire, spoken to by strangers. */
class BoardServerIT {
  private final HttpClient client =
      HttpClient.newBuilder().followRedirects(HttpClient.Redirect.NEVER).build();
  private final Board board = new Board(Instant::now);
  private BoardServer server;
  private int port;

  @BeforeEach
  void start() throws IOException {
    server = BoardServer.start(board, new Access("127.0.0.1", 0, null));
    port = URI.create(server.address()).getPort();
  }

  @AfterEach
  void stop() {
    server.close();
  }

  private HttpResponse<String> get(String path) throws Exception {
    URI uri = URI.create("http://127.0.0.1:" + port + path);
    return client.send(HttpRequest.newBuilder(uri).build(), HttpResponse.BodyHandlers.ofString());
  }

  /** What is answered to exactly these bytes, up to where the server stops talking for a while. */
  private String raw(String request) throws IOException {
    try (Socket socket = new Socket("127.0.0.1", port)) {
      socket.setSoTimeout(5000);
      socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
      return new String(socket.getInputStream().readNBytes(200), StandardCharsets.ISO_8859_1);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"/", "/unit", "/result", "/login", "/overview.js", "/api/overview"})
  void everyAnswerTellsTheBrowserToTrustNothingElse(String path) throws Exception {
    HttpResponse<String> answer = get(path);
    assertThat(answer.statusCode()).isEqualTo(200);
    assertThat(answer.headers().firstValue("Content-Security-Policy").orElse(""))
        .contains("default-src 'none'", "script-src 'self'", "frame-ancestors 'none'")
        .doesNotContain("unsafe");
    assertThat(answer.headers().firstValue("X-Content-Type-Options")).contains("nosniff");
    assertThat(answer.headers().firstValue("Server")).isEmpty();
  }

  @Test
  void everyFileOfThePagesIsThere() throws Exception {
    for (String path : BoardServer.FILES.paths()) {
      HttpResponse<String> answer = get(path);
      assertThat(answer.statusCode()).as(path).isEqualTo(200);
      assertThat(answer.body()).as(path).isNotEmpty();
      if (path.endsWith(".js") && !path.startsWith("/lib/")) {
        assertThat(answer.body())
            .as("%s makes no markup of words", path)
            .doesNotContain("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write");
      }
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/../../etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/logback.xml",
        "/kitproof/web/overview.html",
        "/META-INF/MANIFEST.MF",
        "/lib/../board.css%00",
      })
  void nothingElseIsServed(String path) throws Exception {
    assertThat(raw("GET " + path + " HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"))
        .startsWith("HTTP/1.1 4");
  }

  @Test
  void anotherNameThatLeadsHereIsRefused() throws Exception {
    assertThat(raw("GET / HTTP/1.1\r\nHost: shop.example\r\nConnection: close\r\n\r\n"))
        .startsWith("HTTP/1.1 403");
    assertThat(raw("GET / HTTP/1.1\r\nHost: localhost:1\r\nConnection: close\r\n\r\n"))
        .startsWith("HTTP/1.1 200");
  }

  @Test
  void aRequestWithoutEndIsCutShort() throws Exception {
    String form = "token=" + "x".repeat(100_000);
    HttpRequest request =
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + port + "/login"))
            .header("Origin", "http://127.0.0.1:" + port)
            .header("Content-Type", "application/x-www-form-urlencoded")
            .POST(HttpRequest.BodyPublishers.ofString(form))
            .build();
    assertThat(client.send(request, HttpResponse.BodyHandlers.ofString()).statusCode())
        .isEqualTo(413);
    assertThat(raw("GET /" + "x".repeat(100_000) + " HTTP/1.1\r\nHost: localhost\r\n\r\n"))
        .contains(" 414 ");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/api/unit",
        "/api/unit?shop=a&product=b",
        "/api/result?shop=a&product=b&batch=c",
        "/api/overview?page=one",
        "/api/overview?product=b",
      })
  void aQuestionThatSaysTooLittleIsRefused(String path) throws Exception {
    assertThat(get(path).statusCode()).isEqualTo(400);
  }

  @Test
  void whatIsNotKnownIsNotFound() throws Exception {
    assertThat(get("/api/unit?shop=a&product=b&unit=c").statusCode()).isEqualTo(404);
    assertThat(get("/api/result?shop=a&product=b&batch=c&name=d").statusCode()).isEqualTo(404);
  }

  @Test
  void whatHasNotChangedIsNotToldAgain() throws Exception {
    for (Message message : new Sender("bench-1").unit("A", 1, 0.5e-3).retained()) {
      board.message(message.topic(), message.payload().getBytes(StandardCharsets.UTF_8));
    }
    int minute = 1;
    for (String path :
        List.of(
            "/api/unit?shop=attic&product=linnet-12&unit=A",
            "/api/result?shop=attic&product=linnet-12&batch=pilot&name=hum")) {
      HttpResponse<String> first = get(path);
      assertThat(first.statusCode()).isEqualTo(200);
      String tag = first.headers().firstValue("ETag").orElseThrow();
      board.link(null); // a change elsewhere
      assertThat(again(path, tag).statusCode()).as(path).isEqualTo(304);
      assertThat(again(path, tag).body()).isEmpty();
      minute++;
      for (Message message : new Sender("bench-1").unit("A", minute, 2e-3).sent()) {
        board.message(message.topic(), message.payload().getBytes(StandardCharsets.UTF_8));
      }
      HttpResponse<String> changed = again(path, tag);
      assertThat(changed.statusCode()).as(path).isEqualTo(200);
      assertThat(changed.body()).as(path).isNotEqualTo(first.body());
    }
  }

  private HttpResponse<String> again(String path, String tag) throws Exception {
    URI uri = URI.create("http://127.0.0.1:" + port + path);
    return client.send(
        HttpRequest.newBuilder(uri).header("If-None-Match", tag).build(),
        HttpResponse.BodyHandlers.ofString());
  }

  @Test
  void listenersThatNeverReadNeitherStopTheBoardNorFillItsMemory() throws Exception {
    List<Socket> sleepers = new ArrayList<>();
    try {
      for (int i = 0; i < Changes.MOST_LISTENERS; i++) {
        Socket socket = new Socket("127.0.0.1", port);
        socket
            .getOutputStream()
            .write(
                "GET /events HTTP/1.1\r\nHost: localhost\r\n\r\n"
                    .getBytes(StandardCharsets.US_ASCII));
        sleepers.add(socket);
      }
      for (Socket socket : sleepers) {
        socket.setSoTimeout(10_000);
        assertThat(socket.getInputStream().read()).as("it was answered").isPositive();
      }
      assertThat(get("/events").statusCode()).as("one too many").isEqualTo(503);
      for (int i = 1; i <= 500; i++) {
        for (Message message : new Sender("bench-1").unit("U" + i, i, 0.5e-3).retained()) {
          board.message(message.topic(), message.payload().getBytes(StandardCharsets.UTF_8));
        }
      }
      assertThat(get("/api/overview").body()).contains("\"tested\":500");
    } finally {
      for (Socket socket : sleepers) {
        socket.close();
      }
    }
    // once the sleepers are gone there is room again
    await()
        .atMost(Duration.ofSeconds(20))
        .until(() -> raw("GET /events HTTP/1.1\r\nHost: localhost\r\n\r\n").contains(" 200 "));
  }

  /** From 127.0.0.2, which on Linux is this machine too, but not the address of a proxy on it. */
  @Test
  void oneThatAsksMuchAndReadsNothingDoesNotHoldUpTheOthers() throws Exception {
    byte[] much =
        "GET /lib/uplot.js HTTP/1.1\r\nHost: localhost\r\n\r\n"
            .repeat(150)
            .getBytes(StandardCharsets.US_ASCII);
    List<Socket> sleepers = new ArrayList<>();
    try {
      for (int i = 0; i < Changes.MOST_LISTENERS + 40; i++) {
        Socket socket = new Socket();
        socket.setReceiveBufferSize(4096);
        socket.bind(new InetSocketAddress("127.0.0.2", 0));
        socket.connect(new InetSocketAddress("127.0.0.1", port));
        socket.getOutputStream().write(much);
        sleepers.add(socket);
      }
      long began = System.nanoTime();
      for (int i = 0; i < 20; i++) {
        assertThat(get("/").statusCode()).isEqualTo(200);
      }
      assertThat(Duration.ofNanos(System.nanoTime() - began))
          .as("sooner than those who read nothing are given up")
          .isLessThan(Duration.ofSeconds(8));
    } finally {
      for (Socket socket : sleepers) {
        socket.close();
      }
    }
  }

  @Test
  void aChangeIsToldAtOnce() throws Exception {
    try (Socket socket = new Socket("127.0.0.1", port)) {
      socket.setSoTimeout(5000);
      socket
          .getOutputStream()
          .write(
              "GET /events HTTP/1.1\r\nHost: localhost\r\n\r\n"
                  .getBytes(StandardCharsets.US_ASCII));
      InputStream in = socket.getInputStream();
      readUntil(in, "data: 0");
      readUntil(in, "not connected yet\n");
      board.link(null);
      readUntil(in, "data: 1\n");
    }
  }

  private static void readUntil(InputStream in, String wanted) throws IOException {
    ByteArrayOutputStream read = new ByteArrayOutputStream();
    while (!read.toString(StandardCharsets.UTF_8).contains(wanted)) {
      int one = in.read();
      assertThat(one).as("before \"%s\" came: %s", wanted, read).isNotNegative();
      read.write(one);
    }
  }
}
