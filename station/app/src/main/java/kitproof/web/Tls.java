package kitproof.web;

import java.nio.file.Path;

/**
 * What a server needs to encrypt.
 *
 * @param store a PKCS #12 file with the server's key and certificate
 * @param password of the file
 */
public record Tls(Path store, String password) {
  /** Without the password. */
  @Override
  public String toString() {
    return store.toString();
  }
}
