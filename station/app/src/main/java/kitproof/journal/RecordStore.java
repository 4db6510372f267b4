package kitproof.journal;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.time.InstantSource;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import java.util.stream.Stream;

/**
 * The folder of records; one object per folder and process.
 *
 * <pre>
 * records/RUN.json              the record: the fold of its journal, written when the run has ended
 * records/chain.jsonl           the order in which records were written, with their digests
 * records/chain.lock            held while a record is written
 * records/journals/RUN.jsonl    the journal, kept for ever
 * records/journals/RUN.lock     held while the run is alive, gone when it has ended
 * records/set-aside/RUN.jsonl   journals cut short before their first line was whole
 * records/set-aside/chain-….jsonl  a damaged ledger, in whose place one was made from the documents
 * records/captures/RUN/…        captures (WAV or FLAC), where the plan has them kept; named in the record
 * records/index.sqlite         the index, made from the documents; not there if it is in a PostgreSQL
 * records/folder.id            the name by which a shared index knows this folder
 * records/gauge/NAME/           a gauge study, a folder of records like this one; never read here
 * records/rejudged/RUN.….json  judgements by other limits, named by what they were made with; never read here
 * records/cursors/READER/RUN    how far a reader of journals has come, for example a publisher
 * records/cursors/READER.lock   held while that reader is at work
 * </pre>
 *
 * RUN and READER are the names with every character but {@code A-Z a-z 0-9 . _ -} written as {@code
 * %XX}, and their ends replaced by a digest if they are very long; no name leaves the folder.
 */
public final class RecordStore {
  private static final String JOURNAL = ".jsonl";

  private final Path folder;
  private final Map<Path, Journal> live = new ConcurrentHashMap<>();
  private final News news = new News();
  private final Consumer<String> told;

  /**
   * Opens a folder of records, making it if it is not there.
   *
   * @throws IOException if it cannot be made
   */
  public RecordStore(Path folder) throws IOException {
    this(folder, words -> {});
  }

  /**
   * Opens a folder of records, making it if it is not there.
   *
   * @param told hears what somebody should know of the folder, but need not be done anything about
   * @throws IOException if it cannot be made
   */
  public RecordStore(Path folder, Consumer<String> told) throws IOException {
    this.told = told;
    this.folder = folder.toAbsolutePath().normalize();
    Files.createDirectories(journals());
  }

  public Path folder() {
    return folder;
  }

  Consumer<String> told() {
    return told;
  }

  private Path journals() {
    return folder.resolve("journals");
  }

  /** Where the journal of this run is kept. */
  public Path journalFile(String run) {
    return journals().resolve(SafeName.ofFile(run) + JOURNAL);
  }

  /** Where the record of this run is, or will be. */
  public Path recordFile(String run) {
    return folder.resolve(SafeName.ofFile(run) + ".json");
  }

  Path recordFile(Path journal) {
    return folder.resolve(stem(journal) + ".json");
  }

  Path lockFile(Path journal) {
    return journals().resolve(stem(journal) + ".lock");
  }

  Path setAsideFolder() {
    return folder.resolve("set-aside");
  }

  /** Where this reader keeps how far it has come in this journal. */
  Path cursorFile(String reader, Path journal) {
    return folder.resolve("cursors").resolve(SafeName.ofFile(reader)).resolve(stem(journal));
  }

  static String stem(Path journal) {
    String name = journal.getFileName().toString();
    return name.substring(0, name.length() - JOURNAL.length());
  }

  /**
   * Begins the journal of a new run and holds its lock until it is closed.
   *
   * @param clock calendar time for the entries
   * @throws IOException if there is a journal of this name already, or it cannot be made
   */
  public Journal begin(String run, InstantSource clock) throws IOException {
    Path file = journalFile(run);
    ProcessLock lock =
        ProcessLock.tryTake(lockFile(file))
            .orElseThrow(() -> new IOException("run " + run + " is going on already"));
    try {
      FileChannel channel =
          FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
      Durable.forceFolder(journals());
      Journal journal = new Journal(run, file, channel, lock, clock, news, () -> live.remove(file));
      live.put(file, journal);
      news.tell();
      return journal;
    } catch (IOException e) {
      lock.closeAndDelete();
      throw e;
    }
  }

  /** Every journal, oldest run first. */
  public List<Path> journalFiles() throws IOException {
    try (Stream<Path> files = Files.list(journals())) {
      return files.filter(f -> f.getFileName().toString().endsWith(JOURNAL)).sorted().toList();
    }
  }

  /**
   * A reader at the start of a journal.
   *
   * @param journal one of {@link #journalFiles} or {@link Journal#file}
   */
  public Follower follow(Path journal) throws IOException {
    return new Follower(journal, live.get(journal), news);
  }

  /**
   * The record of a run so far, or of one that has ended.
   *
   * @throws IOException if the journal cannot be read or does not begin with a run's start
   */
  public RunRecord fold(Path journal) throws IOException {
    try (Follower follower = follow(journal)) {
      return RunRecord.of(follower.poll(Integer.MAX_VALUE));
    } catch (IllegalArgumentException e) {
      throw new IOException(journal + ": " + e.getMessage(), e);
    }
  }

  /**
   * A reader for others to publish from: as {@link #follow}, but empty while another process is
   * writing, and what a dead process left is forced to the disk first, so that nothing is told that
   * could still be lost.
   */
  public Optional<Follower> followDurable(Path journal) throws IOException {
    if (!live.containsKey(journal) && Files.exists(lockFile(journal))) {
      Optional<ProcessLock> lock = ProcessLock.tryTake(lockFile(journal));
      if (lock.isEmpty()) {
        return Optional.empty();
      }
      try (ProcessLock taken = lock.get();
          FileChannel channel = FileChannel.open(journal, StandardOpenOption.WRITE)) {
        channel.force(true);
      }
    }
    return Optional.of(follow(journal));
  }

  /** Whether the run of this journal is going on in this process. */
  public boolean isLiveHere(Path journal) {
    return live.containsKey(journal);
  }

  /** A mark to wait from with {@link #awaitNews}. */
  public long newsSeen() {
    return news.version();
  }

  /** Returns when a journal of this process has grown since the mark, or the bound has passed. */
  public void awaitNews(long seen, Duration bound) throws InterruptedException {
    news.await(seen, bound);
  }

  /** Wakes everyone in {@link #awaitNews}, for a reader that also waits for other things. */
  public void wake() {
    news.tell();
  }

  /**
   * Makes this process the only one that reads under this name, so that two never push each other
   * out; empty if another one is.
   */
  public Optional<ProcessLock> lockReader(String reader) throws IOException {
    Path cursors = folder.resolve("cursors");
    Files.createDirectories(cursors);
    return ProcessLock.tryTake(cursors.resolve(SafeName.ofFile(reader) + ".lock"));
  }

  /** How far a reader has come in a journal, kept over restarts. */
  public Cursor cursor(String reader, Path journal) throws IOException {
    return new Cursor(cursorFile(reader, journal));
  }
}
