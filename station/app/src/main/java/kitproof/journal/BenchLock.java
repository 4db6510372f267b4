package kitproof.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
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
   * @param folder where this machine's stations keep their locks
   * @param claims what the bench's drivers take for themselves, such as ports
   * @throws TakenException if another run has one of them
   */
  public static BenchLock take(Path folder, Collection<String> claims) throws IOException {
    BenchLock taken = new BenchLock();
    try {
      Files.createDirectories(folder);
      for (String claim : new TreeSet<>(claims.stream().map(BenchLock::real).toList())) {
        Optional<ProcessLock> lock =
            ProcessLock.tryTake(folder.resolve(SafeName.ofFile(claim) + ".lock"));
        taken.locks.add(lock.orElseThrow(() -> new TakenException(claim)));
      }
      return taken;
    } catch (IOException e) {
      taken.close();
      throw e;
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
