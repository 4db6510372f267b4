package kitproof.journal;

import java.io.ByteArrayOutputStream;
import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.jspecify.annotations.Nullable;

/** Whole lines of a file that may still grow; a last line without its end is never given out. */
final class Lines implements Closeable {
  private final FileChannel channel;
  private final ByteBuffer buffer = ByteBuffer.allocate(16 * 1024).limit(0);
  private final ByteArrayOutputStream partial = new ByteArrayOutputStream();
  private long read;
  private long given;

  Lines(Path file) throws IOException {
    channel = FileChannel.open(file, StandardOpenOption.READ);
  }

  /**
   * The next whole line, or null if there is none before {@code bound}.
   *
   * @param bound in bytes from the start of the file; never smaller than in the call before
   */
  @Nullable String next(long bound) throws IOException {
    while (true) {
      while (buffer.hasRemaining()) {
        byte b = buffer.get();
        if (b == '\n') {
          given += partial.size() + 1L;
          String line = partial.toString(StandardCharsets.UTF_8);
          partial.reset();
          return line;
        }
        partial.write(b);
      }
      buffer.clear();
      buffer.limit((int) Math.min(buffer.capacity(), Math.max(0, bound - read)));
      int got = buffer.hasRemaining() ? channel.read(buffer, read) : 0;
      buffer.flip();
      if (got <= 0) {
        return null;
      }
      read += got;
    }
  }

  /** Where the last line given out ended, in bytes from the start. */
  long given() {
    return given;
  }

  long size() throws IOException {
    return channel.size();
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }
}
