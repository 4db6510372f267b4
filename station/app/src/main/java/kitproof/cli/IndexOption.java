package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import kitproof.store.IndexLogin;
import kitproof.store.IndexPlace;
import kitproof.store.PostgresPlace;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Where the index of the records is. */
final class IndexOption {
  @Option(
      names = "--index",
      paramLabel = "URL",
      defaultValue = "${env:KITPROOF_INDEX}",
      description =
          "PostgreSQL that keeps the index of records, also for several stations:"
              + " postgresql://host:port/database (default: $KITPROOF_INDEX, else a file beside the"
              + " records). User and password: KITPROOF_INDEX_USER, KITPROOF_INDEX_PASSWORD or"
              + " KITPROOF_INDEX_PASSWORD_FILE.")
  private @Nullable String address;

  /** The place of a folder's index. */
  IndexPlace place(CommandLine command, Path records) throws IOException {
    PostgresPlace shared = shared(command);
    return shared == null ? IndexPlace.beside(records) : shared;
  }

  /** The PostgreSQL, or null if there is none. */
  @Nullable PostgresPlace shared(CommandLine command) throws IOException {
    if (address == null || address.isBlank()) {
      return null;
    }
    return place(command, address);
  }

  /** The PostgreSQL at an address, with the user and password of the environment. */
  static PostgresPlace place(CommandLine command, String address) throws IOException {
    try {
      return PostgresPlace.parse(address, IndexLogin.from(System.getenv()));
    } catch (IllegalArgumentException e) {
      String found = address.contains("@") ? "" : "found \"" + address + "\"; ";
      throw new ParameterException(command, "--index: " + found + "expected " + e.getMessage(), e);
    }
  }
}
