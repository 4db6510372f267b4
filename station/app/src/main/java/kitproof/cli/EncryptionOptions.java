package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import kitproof.web.Encryption;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** What a server of pages needs to encrypt. */
final class EncryptionOptions {
  @Option(
      names = "--certificate",
      paramLabel = "FILE",
      description =
          "Serve by TLS (https) only: PEM file of this server's certificate, then of those that"
              + " lead to its authority.")
  private @Nullable Path certificate;

  @Option(
      names = "--key",
      paramLabel = "FILE",
      description = "PEM file of the certificate's private key (PKCS #8, not encrypted).")
  private @Nullable Path key;

  /** The certificate with its key, or null not to encrypt. */
  @Nullable Encryption read(CommandLine command) {
    Path certificates = certificate;
    Path secret = key;
    if (certificates == null && secret == null) {
      return null;
    }
    if (certificates == null || secret == null) {
      throw new ParameterException(command, "found one of --certificate and --key; expected both");
    }
    try {
      return Encryption.read(certificates, secret);
    } catch (IOException e) {
      throw new ParameterException(command, String.valueOf(e.getMessage()), e);
    }
  }
}
