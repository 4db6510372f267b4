package kitproof.store;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.HashSet;
import java.util.Set;
import java.util.function.Consumer;

/**
 * Keeps the index of a folder up to its documents, behind everyone's back.
 *
 * <p>On a thread of its own and of the lowest priority: a run neither waits for it nor hears of it.
 * What goes wrong is told once; then it is tried again and again, and told when it has gone well.
 * What is still missing when the program ends is made good by the next start, or by {@link
 * Indexing#rebuild}.
 */
public final class IndexKeeper implements AutoCloseable {
  private static final Duration PATIENCE = Duration.ofSeconds(2);
  private static final Duration FIRST_PAUSE = Duration.ofMillis(500);
  private static final Duration LONGEST_PAUSE = Duration.ofSeconds(30);

  private final Path records;
  private final IndexPlace place;
  private final Listener listener;
  private final Thread thread;
  private final Set<String> toldFindings = new HashSet<>();
  private boolean news = true;
  private boolean closing;
  private volatile boolean abandoned;

  /** Hears of the index, on the keeper's thread. */
  public interface Listener {
    /** Something is wrong; told once until it is over. */
    void behind(String trouble);

    /** The index has all documents again. */
    void upToDate();
  }

  private IndexKeeper(Path records, IndexPlace place, Listener listener) {
    this.records = records;
    this.place = place;
    this.listener = listener;
    this.thread = new Thread(this::keep, "index");
  }

  /** Keeps the index beside the records, and starts with what happened while nobody kept it. */
  public static IndexKeeper start(Path records, Consumer<String> trouble) {
    return start(
        records,
        IndexPlace.beside(records),
        new Listener() {
          @Override
          public void behind(String why) {
            trouble.accept(why);
          }

          @Override
          public void upToDate() {}
        });
  }

  /** Starts with what happened while nobody kept it. */
  @SuppressWarnings("ThreadPriorityCheck") // nothing is right or wrong by it, only sooner or later
  public static IndexKeeper start(Path records, IndexPlace place, Listener listener) {
    IndexKeeper keeper = new IndexKeeper(records, place, listener);
    keeper.thread.setDaemon(true);
    keeper.thread.setPriority(Thread.MIN_PRIORITY);
    keeper.thread.start();
    return keeper;
  }

  /** A record was written. */
  public synchronized void tell() {
    news = true;
    notifyAll();
  }

  /**
   * Waits for something to do.
   *
   * @param pause until it is tried again all the same, or zero if nothing is left to do
   * @return whether there is
   */
  private synchronized boolean awaitWork(Duration pause) throws InterruptedException {
    boolean waited = false; // woken too early, it is only tried too early
    while (!news && !closing && !waited) {
      wait(pause.toMillis()); // without end if there is no pause
      waited = !pause.isZero();
    }
    boolean work = news || !pause.isZero();
    news = false;
    return work;
  }

  private synchronized boolean isClosing() {
    return closing && !news;
  }

  private void keep() {
    Duration pause = Duration.ZERO;
    try {
      while (awaitWork(pause)) {
        try {
          catchUp();
          if (!pause.isZero()) {
            listener.upToDate();
          }
          pause = Duration.ZERO;
        } catch (IndexException | IOException e) {
          if (pause.isZero()) {
            listener.behind(String.valueOf(e.getMessage()));
            pause = FIRST_PAUSE;
          } else {
            pause = longer(pause);
          }
          if (isClosing()) {
            return;
          }
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private static Duration longer(Duration pause) {
    Duration twice = pause.multipliedBy(2);
    return twice.compareTo(LONGEST_PAUSE) < 0 ? twice : LONGEST_PAUSE;
  }

  private void catchUp() throws IndexException, IOException {
    try (Index index = Index.open(records, place)) {
      for (Finding finding :
          Indexing.catchUp(records, index, (looked, of) -> !abandoned).findings()) {
        if (toldFindings.add(finding.toString())) {
          listener.behind(finding.toString());
        }
      }
    }
  }

  /** Lets it take in what there is, within a bound; the rest waits for the next start. */
  @Override
  public void close() {
    synchronized (this) {
      closing = true;
      notifyAll();
    }
    try {
      thread.join(PATIENCE.toMillis());
      abandoned = true;
      thread.join(PATIENCE.toMillis());
    } catch (InterruptedException e) {
      abandoned = true;
      Thread.currentThread().interrupt();
    }
  }
}
