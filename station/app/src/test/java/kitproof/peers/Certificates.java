package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyStore;
import java.security.cert.CertificateFactory;
import java.util.ArrayList;
import java.util.List;
import javax.net.ssl.SSLContext;
import javax.net.ssl.TrustManagerFactory;

/** Keys and certificates for this machine, made by OpenSSL in a folder, and who trusts them. */
public record Certificates(Path folder) {
  /** Calls OpenSSL. */
  public void openssl(String... arguments) throws Exception {
    List<String> command = new ArrayList<>(List.of("openssl"));
    command.addAll(List.of(arguments));
    Process process =
        new ProcessBuilder(command).directory(folder.toFile()).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(process.waitFor()).as("openssl says: %s", said).isZero();
  }

  /**
   * NAME.pem and NAME-key.pem for a key that is not made yet: its options, as OpenSSL takes them.
   */
  public void make(String name, String... key) throws Exception {
    List<String> arguments = new ArrayList<>(List.of("req", "-x509", "-nodes"));
    arguments.addAll(List.of(key));
    arguments.addAll(List.of("-keyout", name + "-key.pem", "-out", name + ".pem", "-days", "2"));
    arguments.addAll(List.of("-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"));
    openssl(arguments.toArray(String[]::new));
  }

  /** Somebody who trusts one of them and nothing else. */
  public SSLContext trusting(String certificate) throws Exception {
    KeyStore store = KeyStore.getInstance(KeyStore.getDefaultType());
    store.load(null, null);
    try (InputStream pem = Files.newInputStream(folder.resolve(certificate))) {
      store.setCertificateEntry(
          "server", CertificateFactory.getInstance("X.509").generateCertificate(pem));
    }
    TrustManagerFactory trust =
        TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
    trust.init(store);
    SSLContext context = SSLContext.getInstance("TLS");
    context.init(null, trust.getTrustManagers(), null);
    return context;
  }
}
