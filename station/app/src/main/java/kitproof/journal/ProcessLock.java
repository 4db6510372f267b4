package kitproof.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;

/**
 * Says to other processes that a run, or a reader, is alive; the operating system lets go of it
 * with the process.
 *
 * <p>A file of its own beside the journal, because on POSIX systems a process loses its locks on a
 * file as soon as it closes any channel to it, and journals are opened and closed by readers all
 * the time. For the same reason no process ever opens a lock file that it holds itself.
 */
public final class ProcessLock implements Closeable {
  private static final Set<Path> HELD_HERE = ConcurrentHashMap.newKeySet();

  private final Path path;
  private final FileChannel channel;
  private final FileLock lock;

  private ProcessLock(Path path, FileChannel channel, FileLock lock) {
    this.path = path;
    this.channel = channel;
    this.lock = lock;
  }

  /** The lock, or empty if somebody in this or another process holds it. */
  static Optional<ProcessLock> tryTake(Path file) throws IOException {
    Path path = file.toAbsolutePath().normalize();
    if (!HELD_HERE.add(path)) {
      return Optional.empty();
    }
    FileChannel channel = null;
    FileLock lock = null;
    try {
      channel = FileChannel.open(path, StandardOpenOption.CREATE, StandardOpenOption.WRITE);
      lock = channel.tryLock();
    } catch (OverlappingFileLockException e) {
      return Optional.empty();
    } finally {
      if (lock == null) {
        HELD_HERE.remove(path);
        if (channel != null) {
          channel.close();
        }
      }
    }
    return lock == null ? Optional.empty() : Optional.of(new ProcessLock(path, channel, lock));
  }

  /** Lets go and leaves the file: who finds it knows that something was not finished. */
  @Override
  public void close() throws IOException {
    try (channel) {
      if (lock.isValid()) {
        lock.release();
      }
    } finally {
      HELD_HERE.remove(path);
    }
  }

  /** Lets go and removes the file: there is nothing left to find out. */
  void closeAndDelete() throws IOException {
    close();
    Files.deleteIfExists(path);
  }
}
