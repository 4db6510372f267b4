package kitproof.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;

/**
 * Puts in order, at the next start, what a program that was killed left behind.
 *
 * <p>Runs alive in this or another process are left alone. Doing it twice does nothing more.
 */
public final class Recovery {
  /** The reason in the record of a run that was cut short. */
  public static final String REASON = "the program was ended in the middle of the run";

  /** In the record of a run that was cut short with mains on. */
  public static final String TREAT_AS_LIVE =
      "HV rail unknown since the program was ended: treat the unit as live, do not open it before it"
          + " has been measured";

  /** What was done about one journal. */
  public enum Action {
    /** The run had not ended: it was ended as aborted, and its record written. */
    ABORTED("ended as aborted; treat its unit as live until its HV rail has been measured"),
    /** The run had ended, but its record was missing: it was written. */
    RECORD_WRITTEN("its missing record written"),
    /** Not even the start of a run was in it: moved aside. */
    SET_ASIDE("holds no run; moved aside"),
    /** It cannot be read, or the disk failed: left as it is. */
    FAILED("could not be put in order");

    private final String words;

    Action(String words) {
      this.words = words;
    }

    @Override
    public String toString() {
      return words;
    }
  }

  /**
   * One journal that needed something.
   *
   * @param run the run's name as in the file's name
   * @param file the record written, the journal moved, or the journal that failed
   * @param detail what went wrong; empty if nothing did
   */
  public record Recovered(String run, Action action, Path file, String detail) {
    /** For people: "run …: its missing record written (records/….json)". */
    @Override
    public String toString() {
      return "run " + run + ": " + action + " (" + file + (detail.isEmpty() ? ")" : "): " + detail);
    }
  }

  private Recovery() {}

  /**
   * Looks at every journal in the folder.
   *
   * @param clock calendar time for the end of runs cut short
   * @return what was done, oldest run first; empty if all was in order
   * @throws IOException if the folder itself cannot be read
   */
  public static List<Recovered> run(RecordStore store, InstantSource clock) throws IOException {
    List<Recovered> done = new ArrayList<>();
    for (Path journal : store.journalFiles()) {
      if (Files.exists(store.recordFile(journal)) && !Files.exists(store.lockFile(journal))) {
        continue;
      }
      try {
        recover(store, clock, journal).ifPresent(done::add);
      } catch (IOException e) {
        done.add(new Recovered(RecordStore.stem(journal), Action.FAILED, journal, reason(e)));
      }
    }
    return done;
  }

  /**
   * The runs that a program which is no more left without an end: their bench may still have its
   * mains on. A journal of which that cannot be told counts as one. Changes nothing.
   *
   * @param records the folder of records, which need not be there
   * @return their names, oldest first
   * @throws IOException if the folder itself cannot be read
   */
  public static List<String> cutShort(Path records) throws IOException {
    if (!Files.isDirectory(records.resolve("journals"))) {
      return List.of();
    }
    RecordStore store = new RecordStore(records);
    List<String> found = new ArrayList<>();
    for (Path journal : store.journalFiles()) {
      boolean locked = Files.exists(store.lockFile(journal));
      if (Files.exists(store.recordFile(journal)) && !locked) {
        continue;
      }
      if (isCutShort(store, journal, locked)) {
        found.add(RecordStore.stem(journal));
      }
    }
    return found;
  }

  private static boolean isCutShort(RecordStore store, Path journal, boolean locked) {
    try {
      Optional<ProcessLock> taken = ProcessLock.tryTake(store.lockFile(journal));
      if (taken.isEmpty()) {
        return false; // its program lives
      }
      ProcessLock lock = taken.get();
      try {
        Whole whole = whole(store, journal);
        return !whole.entries.isEmpty() && RunRecord.of(whole.entries).verdict() == null;
      } finally {
        if (locked) {
          lock.close();
        } else {
          lock.closeAndDelete();
        }
      }
    } catch (IOException e) {
      return true;
    }
  }

  private static String reason(IOException e) {
    return e.getMessage() == null ? e.toString() : e.getMessage();
  }

  private static Optional<Recovered> recover(RecordStore store, InstantSource clock, Path journal)
      throws IOException {
    Optional<ProcessLock> taken = ProcessLock.tryTake(store.lockFile(journal));
    if (taken.isEmpty()) {
      return Optional.empty();
    }
    ProcessLock lock = taken.get();
    try {
      Optional<Recovered> done = underLock(store, clock, journal);
      lock.closeAndDelete();
      return done;
    } finally {
      lock.close();
    }
  }

  private static Optional<Recovered> underLock(RecordStore store, InstantSource clock, Path journal)
      throws IOException {
    String run = RecordStore.stem(journal);
    Whole whole = whole(store, journal);
    if (whole.entries.isEmpty()) {
      Files.createDirectories(store.setAsideFolder());
      Path aside = store.setAsideFolder().resolve(journal.getFileName());
      Files.move(journal, aside, StandardCopyOption.ATOMIC_MOVE);
      return Optional.of(new Recovered(run, Action.SET_ASIDE, aside, ""));
    }
    RunRecord record = RunRecord.of(whole.entries);
    boolean ended = record.verdict() != null;
    if (!ended) {
      appendAfter(journal, whole.bytes, endings(record, clock));
    } else if (Files.exists(store.recordFile(journal))) {
      return Optional.empty();
    }
    Path document = RecordDocument.write(store, journal);
    return Optional.of(
        new Recovered(run, ended ? Action.RECORD_WRITTEN : Action.ABORTED, document, ""));
  }

  /** What the program could not say any more: of a unit that was left with mains on, that too. */
  private static List<Entry> endings(RunRecord record, InstantSource clock) {
    List<Event> events = new ArrayList<>();
    boolean live =
        record.safeToOpen() == SafeToOpen.NO
            && record.events().stream().anyMatch(e -> e.event() instanceof Event.OpeningTold);
    if (live) {
      events.add(new Event.Notice(TREAT_AS_LIVE));
      events.add(new Event.OpeningTold(SafeToOpen.UNKNOWN, TREAT_AS_LIVE));
    }
    events.add(new Event.RunEnded(Verdict.ABORTED, REASON, record.failed()));
    List<Entry> entries = new ArrayList<>();
    for (Event event : events) {
      long sequence = record.events().size() + (long) entries.size();
      entries.add(new Entry(record.run(), sequence, clock.instant(), event));
    }
    return entries;
  }

  /** The whole entries of a journal and where they end. */
  private record Whole(List<Entry> entries, long bytes) {}

  /** Reads to the first line that is not whole; it must be the last, or the journal is damaged. */
  private static Whole whole(RecordStore store, Path journal) throws IOException {
    List<Entry> entries = new ArrayList<>();
    try (Follower follower = store.follow(journal)) {
      long bytes = 0;
      try {
        for (List<Entry> next = follower.poll(1); !next.isEmpty(); next = follower.poll(1)) {
          entries.addAll(next);
          bytes = follower.bytes();
        }
      } catch (EventFormatException e) {
        throw e;
      } catch (IOException e) {
        if (follower.bytes() < Files.size(journal)) {
          throw e;
        }
      }
      if (!entries.isEmpty() && !(entries.get(0).event() instanceof Event.RunStarted)) {
        throw new IOException(journal + ": does not begin with the start of a run");
      }
      return new Whole(entries, bytes);
    }
  }

  private static void appendAfter(Path journal, long bytes, List<Entry> ends) throws IOException {
    StringBuilder lines = new StringBuilder();
    for (Entry end : ends) {
      lines.append(EventCodec.write(end)).append('\n');
    }
    try (FileChannel channel = FileChannel.open(journal, StandardOpenOption.WRITE)) {
      channel.truncate(bytes);
      ByteBuffer line = ByteBuffer.wrap(lines.toString().getBytes(StandardCharsets.UTF_8));
      while (line.hasRemaining()) {
        channel.write(line, bytes + line.position());
      }
      channel.force(true);
    }
  }
}
