package kitproof.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;

/**
 * Keeps two runs on this machine off the same instruments, also where their bench files differ but
 * name the same ports. The operating system lets go of it with the process, however that ends.
 */
public final class BenchLock implements Closeable {
  private final List<ProcessLock> locks = new ArrayList<>();

  private BenchLock() {}

  /** What a bench takes for itself alone is taken already. */
  public static final class TakenException extends IOException {
    private static final long serialVersionUID = 1L;

    TakenException(String claim) {
      super(claim + " is in use by another run on this machine");
    }
  }

  /**
   * Takes everything or nothing.
   *
   * @param folders where this machine's stations keep their locks: a claim is taken in each, so
   *     that two that share any of them meet
   * @param claims what the bench's drivers take for themselves, such as ports
   * @throws TakenException if another run has one of them
   */
  public static BenchLock take(Collection<Path> folders, Collection<String> claims)
      throws IOException {
    BenchLock taken = new BenchLock();
    try {
      for (String claim : new TreeSet<>(claims.stream().map(BenchLock::real).toList())) {
        for (Path folder : folders) {
          Path file = folder.resolve(SafeName.ofFile(claim) + ".lock");
          Optional<ProcessLock> lock = taken(file);
          taken.locks.add(lock.orElseThrow(() -> new TakenException(claim)));
          LockFolders.openToAll(file, "rw-rw-rw-");
        }
      }
      return taken;
    } catch (IOException e) {
      taken.close();
      throw e;
    }
  }

  private static Optional<ProcessLock> taken(Path file) throws IOException {
    try {
      return ProcessLock.tryTake(file);
    } catch (AccessDeniedException e) {
      throw new IOException(
          "cannot tell whether the bench is free: another user has the lock file "
              + file
              + " for himself; remove it while no station runs",
          e);
    }
  }

  /** Two names of one port are one claim. */
  private static String real(String claim) {
    try {
      Path path = Path.of(claim);
      return path.isAbsolute() ? path.toRealPath().toString() : claim;
    } catch (IOException | InvalidPathException e) {
      return claim; // not plugged in, which opening it will say; or no path at all
    }
  }

  @Override
  public void close() throws IOException {
    IOException first = null;
    for (ProcessLock lock : locks) {
      try {
        lock.close();
      } catch (IOException e) {
        first = e;
      }
    }
    locks.clear();
    if (first != null) {
      throw first;
    }
  }
}
