package kitproof.mqtt;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocketFactory;
import javax.net.ssl.TrustManagerFactory;
import org.jspecify.annotations.Nullable;

/** Encrypted sockets that trust the authorities they are told to. */
final class Tls {
  private Tls() {}

  /**
   * A factory of sockets.
   *
   * @param authorities a PEM file, or null for the Java platform's
   * @throws IOException if the file holds no certificates
   */
  static SSLSocketFactory sockets(@Nullable Path authorities) throws IOException {
    try {
      TrustManagerFactory trust =
          TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
      trust.init(authorities == null ? null : store(authorities));
      SSLContext context = SSLContext.getInstance("TLS");
      context.init(null, trust.getTrustManagers(), null);
      return context.getSocketFactory();
    } catch (GeneralSecurityException e) {
      throw new IOException(
          "no certificates of authorities in " + authorities + ": " + e.getMessage(), e);
    }
  }

  private static KeyStore store(Path authorities) throws IOException, GeneralSecurityException {
    KeyStore store = KeyStore.getInstance(KeyStore.getDefaultType());
    store.load(null, null);
    try (InputStream pem = Files.newInputStream(authorities)) {
      int number = 0;
      for (Certificate certificate :
          CertificateFactory.getInstance("X.509").generateCertificates(pem)) {
        store.setCertificateEntry("authority-" + number++, certificate);
      }
      if (number == 0) {
        throw new GeneralSecurityException("the file is empty");
      }
    }
    return store;
  }
}
