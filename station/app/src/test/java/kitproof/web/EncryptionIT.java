package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import kitproof.board.Board;
import kitproof.peers.Certificates;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The pages by TLS, with keys and certificates that OpenSSL made. */
class EncryptionIT {
  private static final String TOKEN = "a token nobody guesses";
  @TempDir Path folder;
  private Certificates certificates;

  @BeforeEach
  void here() {
    certificates = new Certificates(folder);
  }

  @ParameterizedTest
  @CsvSource({"rsa:2048, ''", "ec, ec_paramgen_curve:P-256", "ed25519, ''"})
  void whoTrustsTheAuthorityReadsThePagesAndNobodyReadsAlong(String kind, String option)
      throws Exception {
    certificates.make(
        "board",
        option.isEmpty()
            ? new String[] {"-newkey", kind}
            : new String[] {"-newkey", kind, "-pkeyopt", option});
    Encryption encryption =
        Encryption.read(folder.resolve("board.pem"), folder.resolve("board-key.pem"));
    HttpClient client =
        HttpClient.newBuilder().sslContext(certificates.trusting("board.pem")).build();
    try (BoardServer server =
        BoardServer.start(new Board(Instant::now), new Access("127.0.0.1", 0, TOKEN), encryption)) {
      assertThat(server.address()).startsWith("https://127.0.0.1:");
      int port = URI.create(server.address()).getPort();
      URI login = URI.create("https://localhost:" + port + "/login");
      HttpResponse<String> answer =
          client.send(
              HttpRequest.newBuilder(login)
                  .header("Origin", "https://localhost:" + port)
                  .header("Content-Type", "application/x-www-form-urlencoded")
                  .POST(HttpRequest.BodyPublishers.ofString("token=" + TOKEN.replace(' ', '+')))
                  .build(),
              HttpResponse.BodyHandlers.ofString());
      assertThat(answer.headers().firstValue("Set-Cookie").orElse(""))
          .contains("; HttpOnly", "; SameSite=Strict", "; Secure");
      HttpResponse<String> page =
          client.send(HttpRequest.newBuilder(login).build(), HttpResponse.BodyHandlers.ofString());
      assertThat(page.statusCode()).isEqualTo(200);
      assertThat(page.headers().firstValue("Server")).isEmpty();
      assertThat(plain(port)).as("not encrypted").doesNotContain("200 OK", "Shop board");
    }
  }

  private static String plain(int port) throws IOException {
    try (Socket socket = new Socket("127.0.0.1", port)) {
      socket.setSoTimeout(5000);
      socket
          .getOutputStream()
          .write(
              "GET /login HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
                  .getBytes(StandardCharsets.US_ASCII));
      return new String(socket.getInputStream().readNBytes(300), StandardCharsets.ISO_8859_1);
    } catch (java.net.SocketException reset) {
      return "";
    }
  }

  @Test
  void filesThatDoNotServeAreNamedWithWhatToDo() throws Exception {
    certificates.make("one", "-newkey", "rsa:2048");
    certificates.make("two", "-newkey", "rsa:2048");
    certificates.make("curve", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256");
    certificates.openssl("rsa", "-in", "one-key.pem", "-out", "old.pem", "-traditional");
    certificates.openssl(
        "pkcs8", "-topk8", "-in", "one-key.pem", "-out", "locked.pem", "-passout", "pass:secret");
    Files.writeString(folder.resolve("empty.pem"), "");
    refused("one.pem", "two-key.pem", "two-key.pem: is not the key of the certificate in");
    refused("one.pem", "curve-key.pem", "is not the key of the certificate in");
    refused("one.pem", "old.pem", "found RSA PRIVATE KEY; expected PRIVATE KEY");
    refused("one.pem", "locked.pem", "found ENCRYPTED PRIVATE KEY; expected PRIVATE KEY");
    refused("one.pem", "one.pem", "found no private key");
    refused("one-key.pem", "one-key.pem", "one-key.pem: ");
    refused("empty.pem", "one-key.pem", "found no certificate");
    refused("nowhere.pem", "one-key.pem", "nowhere.pem: cannot be read");
    refused("one.pem", "nowhere.pem", "nowhere.pem: cannot be read");
  }

  private void refused(String certificate, String key, String message) {
    assertThatThrownBy(() -> Encryption.read(folder.resolve(certificate), folder.resolve(key)))
        .isInstanceOf(IOException.class)
        .hasMessageContaining(message)
        .hasMessageContaining(folder.toString());
  }
}
