package kitproof.peer;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** A certificate for one host name, and the authority that signed it. */
final class Certificates {
  private Certificates() {}

  /** Writes {@code authority.pem}, {@code broker.pem} and {@code broker.key} into the folder. */
  static void make(Path folder, String host) throws IOException {
    String openssl = Programs.find("openssl");
    Programs.run(
        folder,
        openssl,
        "req",
        "-x509",
        "-newkey",
        "rsa:2048",
        "-nodes",
        "-days",
        "2",
        "-keyout",
        "authority.key",
        "-out",
        "authority.pem",
        "-subj",
        "/CN=test authority");
    Programs.run(
        folder,
        openssl,
        "req",
        "-newkey",
        "rsa:2048",
        "-nodes",
        "-keyout",
        "broker.key",
        "-out",
        "broker.csr",
        "-subj",
        "/CN=" + host);
    Files.writeString(folder.resolve("names"), "subjectAltName=DNS:" + host + "\n");
    Programs.run(
        folder,
        openssl,
        "x509",
        "-req",
        "-in",
        "broker.csr",
        "-CA",
        "authority.pem",
        "-CAkey",
        "authority.key",
        "-CAcreateserial",
        "-days",
        "2",
        "-extfile",
        "names",
        "-out",
        "broker.pem");
  }
}
