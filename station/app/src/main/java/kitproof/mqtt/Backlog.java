package kitproof.mqtt;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.Cursor;
import kitproof.journal.Follower;
import kitproof.journal.RecordStore;
import org.jspecify.annotations.Nullable;

/**
 * Every entry of every journal that a reader has not dealt with, oldest run first, each run in
 * order; new runs as they come.
 *
 * <p>A journal that cannot be read, and one that a dead program left unfinished, is left alone
 * until its file changes.
 */
final class Backlog implements Closeable {
  /**
   * An entry to be dealt with.
   *
   * @param start of its run
   * @param live whether its run is going on in this process
   */
  record Item(Entry entry, Event.RunStarted start, boolean live, Path journal) {}

  private final RecordStore store;
  private final String reader;
  private final Map<Path, Feed> feeds = new TreeMap<>();
  private final Set<Path> done = new HashSet<>();
  private final Map<Path, Long> leftAtSize = new HashMap<>();
  private final Map<Path, String> unreadable = new TreeMap<>();

  Backlog(RecordStore store, String reader) {
    this.store = store;
    this.reader = reader;
  }

  /** One journal being read. */
  private static final class Feed {
    final Follower follower;
    final Cursor cursor;
    Event.@Nullable RunStarted start;

    Feed(Follower follower, Cursor cursor) {
      this.follower = follower;
      this.cursor = cursor;
    }
  }

  /**
   * The next entry, or empty if there is none now.
   *
   * @throws IOException if the folder of journals cannot be read
   */
  Optional<Item> next() throws IOException {
    do {
      for (Path journal : List.copyOf(feeds.keySet())) {
        Item item = poll(journal);
        if (item != null) {
          return Optional.of(item);
        }
      }
    } while (openMore());
    return Optional.empty();
  }

  private @Nullable Item poll(Path journal) throws IOException {
    Feed feed = feeds.get(journal);
    if (feed == null) {
      return null;
    }
    try {
      for (List<Entry> one = feed.follower.poll(1); !one.isEmpty(); one = feed.follower.poll(1)) {
        Entry entry = one.get(0);
        if (entry.event() instanceof Event.RunStarted start) {
          feed.start = start;
        }
        if (feed.start == null) {
          throw new IOException(journal + ": does not begin with the start of a run");
        }
        if (entry.sequence() >= feed.cursor.next()) {
          return new Item(entry, feed.start, store.isLiveHere(journal), journal);
        }
      }
      if (feed.follower.finished()) {
        leave(journal, feed);
      }
    } catch (IOException e) {
      unreadable.put(journal, String.valueOf(e.getMessage()));
      leave(journal, feed);
    }
    return null;
  }

  private void leave(Path journal, Feed feed) throws IOException {
    feeds.remove(journal);
    feed.follower.close();
    if (feed.follower.ended()) {
      done.add(journal);
    } else {
      leftAtSize.put(journal, Files.size(journal));
    }
  }

  private boolean openMore() throws IOException {
    boolean more = false;
    for (Path journal : store.journalFiles()) {
      if (done.contains(journal) || feeds.containsKey(journal)) {
        continue;
      }
      if (leftAtSize.containsKey(journal) && leftAtSize.get(journal) == Files.size(journal)) {
        continue;
      }
      try {
        Cursor cursor = store.cursor(reader, journal);
        if (cursor.done()) {
          done.add(journal);
          continue;
        }
        Optional<Follower> follower = store.followDurable(journal);
        if (follower.isPresent()) {
          feeds.put(journal, new Feed(follower.get(), cursor));
          leftAtSize.remove(journal);
          unreadable.remove(journal);
          more = true;
        }
      } catch (IOException e) {
        unreadable.put(journal, String.valueOf(e.getMessage()));
        leftAtSize.put(journal, Files.size(journal));
      }
    }
    return more;
  }

  /** Why some journals are left alone; empty if all can be read. */
  Optional<String> trouble() {
    return unreadable.values().stream().findFirst();
  }

  /**
   * Notes that this entry and all before it of its run are dealt with.
   *
   * @throws IOException if it could not be noted; they will be given out again by another backlog
   */
  void dealtWith(Item item) throws IOException {
    Feed feed = feeds.get(item.journal());
    Cursor cursor = feed == null ? store.cursor(reader, item.journal()) : feed.cursor;
    cursor.advance(item.entry().sequence() + 1, item.entry().event() instanceof Event.RunEnded);
  }

  @Override
  public void close() throws IOException {
    for (Feed feed : feeds.values()) {
      feed.follower.close();
    }
    feeds.clear();
  }
}
