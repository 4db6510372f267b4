package kitproof.store;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.function.Consumer;
import kitproof.store.Indexing.Progress;

/**
 * Keeps the index of a folder up to its documents, behind everyone's back.
 *
 * <p>On a thread of its own and of the lowest priority: a run neither waits for it nor hears of it.
 * What goes wrong is told once, and made good by the next start or by {@link Indexing#rebuild}.
 */
public final class IndexKeeper implements AutoCloseable {
  private static final Duration PATIENCE = Duration.ofSeconds(2);

  private final Path records;
  private final Consumer<String> trouble;
  private final Thread thread;
  private boolean news = true;
  private boolean closing;
  private volatile boolean abandoned;

  private IndexKeeper(Path records, Consumer<String> trouble) {
    this.records = records;
    this.trouble = trouble;
    this.thread = new Thread(this::keep, "index");
  }

  /**
   * Starts with what happened while nobody kept it.
   *
   * @param trouble told what is wrong, from another thread
   */
  @SuppressWarnings("ThreadPriorityCheck") // nothing is right or wrong by it, only sooner or later
  public static IndexKeeper start(Path records, Consumer<String> trouble) {
    IndexKeeper keeper = new IndexKeeper(records, trouble);
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

  private synchronized boolean awaitNews() throws InterruptedException {
    while (!news && !closing) {
      wait();
    }
    boolean more = news;
    news = false;
    return more;
  }

  private void keep() {
    try {
      while (awaitNews()) {
        catchUp((looked, of) -> !abandoned);
      }
    } catch (IndexException | IOException e) {
      trouble.accept(String.valueOf(e.getMessage()));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void catchUp(Progress progress) throws IndexException, IOException {
    try (Index index = Index.open(records)) {
      for (Finding finding : Indexing.catchUp(records, index, progress).findings()) {
        trouble.accept(finding.toString());
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
