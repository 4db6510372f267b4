package kitproof.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;
import org.jspecify.annotations.Nullable;

/**
 * A reader's place in a journal: pulls entries in order, each once, at the reader's own pace.
 *
 * <p>Of a run that is going on in this process it gives out only what is on the disk. For use by
 * one thread at a time.
 */
public final class Follower implements Closeable {
  private final Path file;
  private final @Nullable Journal live;
  private final News news;
  private final Lines lines;
  private long position;
  private boolean ended;
  private boolean dry;

  Follower(Path file, @Nullable Journal live, News news) throws IOException {
    this.file = file;
    this.live = live;
    this.news = news;
    this.lines = new Lines(file);
  }

  /**
   * What there is now, at most {@code most} entries; empty if there is nothing new.
   *
   * @throws IOException if the journal cannot be read; the message names file and line
   */
  public List<Entry> poll(int most) throws IOException {
    boolean closed = live == null || live.closed();
    // asked after closed(), so that nothing can be appended between the two
    long bound = live == null ? lines.size() : live.durable();
    List<Entry> entries = new ArrayList<>();
    while (entries.size() < most) {
      String line = lines.next(bound);
      if (line == null) {
        dry = closed;
        break;
      }
      entries.add(entry(line));
    }
    return entries;
  }

  /** As {@link #poll}, but waits for at most {@code bound} of real time if there is nothing yet. */
  public List<Entry> await(int most, Duration bound) throws IOException, InterruptedException {
    long seen = news.version();
    List<Entry> entries = poll(most);
    if (entries.isEmpty() && !finished()) {
      news.await(seen, bound);
      entries = poll(most);
    }
    return entries;
  }

  private Entry entry(String line) throws IOException {
    Entry entry;
    try {
      entry = EventCodec.read(line);
    } catch (EventFormatException e) {
      throw new EventFormatException(at(e.getMessage()), e);
    } catch (IOException e) {
      throw new IOException(at(e.getMessage()), e);
    }
    if (entry.sequence() != position) {
      throw new EventFormatException(
          at("expected entry " + position + ", found " + entry.id()), null);
    }
    position++;
    ended = entry.event() instanceof Event.RunEnded;
    return entry;
  }

  private String at(@Nullable String message) {
    return file + ", line " + (position + 1) + ": " + message;
  }

  /** The sequence number of the entry to come next. */
  public long position() {
    return position;
  }

  /** Whether the run's end was given out. */
  public boolean ended() {
    return ended;
  }

  /** Whether nothing more can come: the run's end was given out, or its writer is gone. */
  public boolean finished() {
    return ended || dry;
  }

  /** Where the last entry given out ended in the file, in bytes. */
  long bytes() {
    return lines.given();
  }

  @Override
  public void close() throws IOException {
    lines.close();
  }
}
