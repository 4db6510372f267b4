package kitproof.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;

/**
 * Where the stations of a machine keep their locks, whoever runs them: the operating system lets go
 * of a lock with its process, so nothing has to be tidied up after a crash.
 *
 * <p>A folder for temporary files will not do alone: each user, and each service, may have one of
 * his own.
 */
public final class LockFolders {
  private LockFolders() {}

  /** Those of this machine. */
  public static List<Path> ofThisMachine(Consumer<String> tell) throws IOException {
    String data = System.getenv("ProgramData");
    List<Path> shared =
        System.getProperty("os.name", "").startsWith("Windows")
            ? data == null ? List.of() : List.of(Path.of(data, "kitproof", "locks"))
            : List.of(Path.of("/run/lock/kitproof"), Path.of("/tmp/kitproof-locks"));
    Path own = Path.of(System.getProperty("java.io.tmpdir"), "kitproof-locks");
    return usable(shared, own, tell);
  }

  /**
   * Those of the shared folders that can be used; all of them, as another user may be kept from
   * one.
   *
   * @param own what is left if none can
   * @param tell takes a sentence if none can
   */
  static List<Path> usable(List<Path> shared, Path own, Consumer<String> tell) throws IOException {
    List<Path> usable = new ArrayList<>();
    for (Path folder : shared) {
      try {
        Files.createDirectories(folder);
        openToAll(folder, "rwxrwxrwx");
        if (Files.isWritable(folder)) {
          usable.add(folder);
        }
      } catch (IOException e) {
        continue; // there may be another
      }
    }
    if (usable.isEmpty()) {
      tell.accept(
          "no folder for locks that all users of this machine share can be used ("
              + String.join(", ", shared.stream().map(Path::toString).toList())
              + "): a station of another user on the same instruments will not be noticed");
      usable.add(Files.createDirectories(own));
    }
    return List.copyOf(usable);
  }

  /**
   * As far as it is ours. Not "sticky": in such folders some systems keep users from opening each
   * other's files at all.
   */
  static void openToAll(Path path, String permissions) {
    try {
      Files.setPosixFilePermissions(path, PosixFilePermissions.fromString(permissions));
    } catch (IOException | UnsupportedOperationException e) {
      return; // another user's, who has done so; or a system without such permissions
    }
  }
}
