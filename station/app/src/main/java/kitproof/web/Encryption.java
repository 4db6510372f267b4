package kitproof.web;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyFactory;
import java.security.KeyStore;
import java.security.PrivateKey;
import java.security.PublicKey;
import java.security.Signature;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.security.spec.InvalidKeySpecException;
import java.security.spec.PKCS8EncodedKeySpec;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.net.ssl.KeyManagerFactory;
import javax.net.ssl.SSLContext;
import org.jspecify.annotations.Nullable;

/** The server's own certificate and its key, from the files that certificate authorities give. */
public final class Encryption {
  private static final Pattern KEY =
      Pattern.compile("-----BEGIN ([A-Z ]*PRIVATE KEY)-----([^-]*)-----END");

  /** What keys of certificates are signed with, by the kind of key. */
  private static final Map<String, String> SIGNATURES =
      Map.of("RSA", "SHA256withRSA", "EC", "SHA256withECDSA", "EdDSA", "EdDSA");

  private final SSLContext context;

  private Encryption(SSLContext context) {
    this.context = context;
  }

  /**
   * Reads both.
   *
   * @param certificates a PEM file: the server's certificate, then those that lead to its authority
   * @param key a PEM file: the private key in PKCS #8, not encrypted
   * @throws IOException if one of them is not that, or they do not belong together; the message
   *     says which file and what to do
   */
  public static Encryption read(Path certificates, Path key) throws IOException {
    Certificate[] chain = chain(certificates);
    PrivateKey secret = key(key);
    try {
      if (!belong(chain[0].getPublicKey(), secret)) {
        throw new IOException(key + ": is not the key of the certificate in " + certificates);
      }
      KeyStore store = KeyStore.getInstance(KeyStore.getDefaultType());
      store.load(null, null);
      store.setKeyEntry("board", secret, new char[0], chain);
      KeyManagerFactory keys =
          KeyManagerFactory.getInstance(KeyManagerFactory.getDefaultAlgorithm());
      keys.init(store, new char[0]);
      SSLContext context = SSLContext.getInstance("TLS");
      context.init(keys.getKeyManagers(), null, null);
      return new Encryption(context);
    } catch (GeneralSecurityException e) {
      throw new IOException(
          certificates + " with " + key + ": cannot be used: " + e.getMessage(), e);
    }
  }

  private static Certificate[] chain(Path file) throws IOException {
    try (InputStream pem = Files.newInputStream(file)) {
      Certificate[] chain =
          CertificateFactory.getInstance("X.509")
              .generateCertificates(pem)
              .toArray(new Certificate[0]);
      if (chain.length > 0) {
        return chain;
      }
    } catch (GeneralSecurityException e) {
      throw new IOException(file + ": expected certificates in PEM: " + e.getMessage(), e);
    } catch (IOException e) {
      throw new IOException(file + ": cannot be read", e);
    }
    throw new IOException(file + ": found no certificate; expected one in PEM");
  }

  private static PrivateKey key(Path file) throws IOException {
    String text;
    try {
      text = Files.readString(file, StandardCharsets.US_ASCII);
    } catch (IOException e) {
      throw new IOException(file + ": cannot be read as text", e);
    }
    Matcher found = KEY.matcher(text);
    if (!found.find()) {
      throw new IOException(file + ": found no private key; expected one in PEM");
    }
    if (!found.group(1).equals("PRIVATE KEY")) {
      throw new IOException(
          file
              + ": found "
              + found.group(1)
              + "; expected PRIVATE KEY (PKCS #8, not encrypted), as made by:"
              + " openssl pkcs8 -topk8 -nocrypt -in OLD -out NEW");
    }
    try {
      PKCS8EncodedKeySpec spec =
          new PKCS8EncodedKeySpec(Base64.getMimeDecoder().decode(found.group(2)));
      for (String kind : List.of("RSA", "EC", "EdDSA")) {
        PrivateKey key = key(kind, spec);
        if (key != null) {
          return key;
        }
      }
    } catch (IllegalArgumentException | GeneralSecurityException e) {
      throw new IOException(file + ": the private key is damaged", e);
    }
    throw new IOException(file + ": expected a private key of kind RSA, EC or Ed25519");
  }

  /** Null if it is of another kind, which the file does not say. */
  private static @Nullable PrivateKey key(String kind, PKCS8EncodedKeySpec spec)
      throws GeneralSecurityException {
    try {
      return KeyFactory.getInstance(kind).generatePrivate(spec);
    } catch (InvalidKeySpecException another) {
      return null;
    }
  }

  private static boolean belong(PublicKey open, PrivateKey secret) throws GeneralSecurityException {
    String kind = SIGNATURES.getOrDefault(secret.getAlgorithm(), "EdDSA");
    byte[] words = "board".getBytes(StandardCharsets.US_ASCII);
    Signature signature = Signature.getInstance(kind);
    signature.initSign(secret);
    signature.update(words);
    byte[] signed = signature.sign();
    try {
      signature.initVerify(open);
      signature.update(words);
      return signature.verify(signed);
    } catch (GeneralSecurityException anotherKind) {
      return false;
    }
  }

  SSLContext context() {
    return context;
  }
}
