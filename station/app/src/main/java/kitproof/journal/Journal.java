package kitproof.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.InstantSource;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.EventSink;
import org.jspecify.annotations.Nullable;

/**
 * The journal of one run that is going on: one line of JSON per entry, on the disk before {@link
 * #append} returns.
 *
 * <p>A failed append leaves nothing behind: the journal is cut back to its last whole line where
 * the disk still lets it be, and readers never see past what was forced. Readers take nothing from
 * the writer, so a slow one lags and delays nobody.
 */
public final class Journal implements EventSink, Closeable {
  private final String run;
  private final Path file;
  private final FileChannel channel;
  private final ProcessLock lock;
  private final InstantSource clock;
  private final News news;
  private final Runnable gone;
  private long sequence;
  private volatile long durable;
  private boolean ended;
  private volatile boolean closed;
  private @Nullable IOException broken;

  Journal(
      String run,
      Path file,
      FileChannel channel,
      ProcessLock lock,
      InstantSource clock,
      News news,
      Runnable gone) {
    this.run = run;
    this.file = file;
    this.channel = channel;
    this.lock = lock;
    this.clock = clock;
    this.news = news;
    this.gone = gone;
  }

  /** The run's name. */
  public String run() {
    return run;
  }

  /** The file, for messages and for {@link RecordStore}. */
  public Path file() {
    return file;
  }

  /**
   * Appends and forces to disk.
   *
   * @throws IOException if it could not be made durable; after one that could not be undone, each
   *     further append fails too
   * @throws IllegalStateException if the first event is not this run's start, or something follows
   *     its end
   */
  @Override
  public synchronized Entry append(Event event) throws IOException {
    boolean start = event instanceof Event.RunStarted started && started.run().equals(run);
    if (start != (sequence == 0)) {
      throw new IllegalStateException("a journal begins with the start of its run, once");
    }
    if (ended || closed) {
      throw new IllegalStateException("nothing follows the end of a run");
    }
    if (broken != null) {
      throw new IOException("the journal is broken: " + broken.getMessage(), broken);
    }
    Entry entry = new Entry(run, sequence, clock.instant(), event);
    ByteBuffer line =
        ByteBuffer.wrap((EventCodec.write(entry) + "\n").getBytes(StandardCharsets.UTF_8));
    long length = line.remaining();
    try {
      write(line);
    } catch (IOException e) {
      cutBack(e);
      throw new IOException("the journal " + file + " cannot be written: " + e.getMessage(), e);
    }
    durable += length;
    sequence++;
    ended = event instanceof Event.RunEnded;
    news.tell();
    return entry;
  }

  private void write(ByteBuffer line) throws IOException {
    while (line.hasRemaining()) {
      channel.write(line, durable + line.position());
    }
    channel.force(false);
  }

  private void cutBack(IOException cause) {
    try {
      channel.truncate(durable);
      channel.force(true);
    } catch (IOException e) {
      cause.addSuppressed(e);
      broken = cause;
    }
  }

  /** How much of the file is whole lines known to be on the disk. */
  long durable() {
    return durable;
  }

  boolean closed() {
    return closed;
  }

  /**
   * Ends the writing and lets go of the lock. Without the run's end before it, recovery will end
   * the run as aborted.
   */
  @Override
  public synchronized void close() throws IOException {
    if (closed) {
      return;
    }
    closed = true;
    try (channel) {
      if (ended) {
        lock.closeAndDelete();
      } else {
        lock.close();
      }
    } finally {
      gone.run();
      news.tell();
    }
  }
}
