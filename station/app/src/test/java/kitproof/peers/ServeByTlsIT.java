package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.Socket;
import java.net.SocketException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code kitproof serve} on all addresses: by TLS and with a token only. */
class ServeByTlsIT {
  private static final String TOKEN = "a token nobody guesses";
  private static final Path EXAMPLE =
      Path.of("").toAbsolutePath().getParent().resolve("examples/linnet-12");

  @TempDir Path folder;
  private HttpClient client;
  private String site;

  private HttpResponse<String> get(String path, String cookies) throws Exception {
    return client.send(
        HttpRequest.newBuilder(URI.create(site + path)).header("Cookie", cookies).build(),
        HttpResponse.BodyHandlers.ofString());
  }

  private HttpResponse<String> post(String path, String cookies, String token, String body)
      throws Exception {
    return client.send(
        HttpRequest.newBuilder(URI.create(site + path))
            .header("Cookie", cookies)
            .header("Kitproof-Token", token)
            .header("Origin", site)
            .POST(BodyPublishers.ofString(body))
            .build(),
        HttpResponse.BodyHandlers.ofString());
  }

  private static String cookie(HttpResponse<String> answer) {
    String set = answer.headers().firstValue("Set-Cookie").orElseThrow();
    assertThat(set).contains("; HttpOnly", "; SameSite=Strict", "; Secure");
    return set.split(";")[0];
  }

  @Test
  void theScreenIsDrivenByTlsAndNotWithoutIt() throws Exception {
    Certificates certificates = new Certificates(folder);
    certificates.make("station", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256");
    client = HttpClient.newBuilder().sslContext(certificates.trusting("station.pem")).build();
    List<String> command =
        List.of(
            "serve",
            EXAMPLE.resolve("plan.yaml").toString(),
            "--bench",
            EXAMPLE.resolve("bench-simulated.yaml").toString(),
            "--records",
            folder.resolve("records").toString(),
            "--listen",
            "0.0.0.0",
            "--port",
            "0",
            "--certificate",
            folder.resolve("station.pem").toString(),
            "--key",
            folder.resolve("station-key.pem").toString());
    try (Program program = Program.start(folder, command, Map.of("KITPROOF_SERVE_TOKEN", TOKEN))) {
      program.awaitPrinted("(open it in a browser)");
      Matcher printed = Pattern.compile("screen: https://[^:]+:(\\d+)/").matcher(program.printed());
      assertThat(printed.find()).as(program.printed()).isTrue();
      int port = Integer.parseInt(printed.group(1));
      site = "https://localhost:" + port;

      assertThat(get("/api/state", "").statusCode()).as("without the token").isEqualTo(401);
      HttpResponse<String> login = post("/login", "", "", "token=" + TOKEN.replace(' ', '+'));
      assertThat(login.statusCode()).isEqualTo(303);
      String inside = cookie(login);
      String cookies = inside + "; " + cookie(get("/", inside));
      Matcher token =
          Pattern.compile("\"token\":\"([0-9a-f]{64})\"")
              .matcher(get("/api/state", cookies).body());
      assertThat(token.find()).isTrue();
      assertThat(post("/api/control", cookies, "0".repeat(64), "{\"take\":true}").statusCode())
          .isEqualTo(403);
      assertThat(post("/api/control", cookies, token.group(1), "{\"take\":true}").body())
          .contains("\"done\":true");
      assertThat(get("/api/state", cookies).body()).contains("\"mine\":true");

      assertThat(plain(port)).as("not encrypted").doesNotContain("200 OK", "Test station");
      program.signal("INT");
      assertThat(program.exitCode()).isZero();
      assertThat(program.printed()).doesNotContain(TOKEN);
    }
  }

  private static String plain(int port) throws IOException {
    try (Socket socket = new Socket("127.0.0.1", port)) {
      socket.setSoTimeout(10_000);
      socket
          .getOutputStream()
          .write(
              "GET /login HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
                  .getBytes(StandardCharsets.US_ASCII));
      return new String(socket.getInputStream().readNBytes(300), StandardCharsets.ISO_8859_1);
    } catch (SocketException reset) {
      return "";
    }
  }
}
