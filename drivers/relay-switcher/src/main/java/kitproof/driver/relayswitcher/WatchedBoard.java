package kitproof.driver.relayswitcher;

import java.time.Duration;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.ReentrantLock;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.RelayBoard;

/**
 * A board whose own watchdog is refreshed as long as this program lives, so that its relays fall to
 * their rest when the program cannot release them any more.
 *
 * <p>The refresh never queues before a command: it is left out when the line is busy, and tried
 * again soon. A command that comes in the middle of one waits for that one short exchange, because
 * two questions at once would spoil both. A refresh that fails is no failure of a run: the next
 * command meets the same board and tells.
 */
final class WatchedBoard implements RelayBoard {
  /** One refresh. */
  interface Refresh {
    void send() throws InstrumentException;
  }

  /** A fair lock would let a refresh that waits go first; none waits. */
  private final ReentrantLock line = new ReentrantLock();

  private final RelayBoard board;
  private final Refresh refresh;
  private final ScheduledExecutorService dog;

  private WatchedBoard(RelayBoard board, Refresh refresh) {
    this.board = board;
    this.refresh = refresh;
    this.dog =
        Executors.newSingleThreadScheduledExecutor(
            work -> {
              Thread daemon = new Thread(work, "kitproof-relay-watchdog");
              daemon.setDaemon(true);
              return daemon;
            });
  }

  /**
   * Refreshes once, so that a board without such a register is noticed before anything is switched,
   * and from then on.
   *
   * @throws InstrumentException if the board refuses; it is closed then
   */
  static WatchedBoard open(RelayBoard board, Refresh refresh, Duration every)
      throws InstrumentException {
    try {
      refresh.send();
    } catch (InstrumentException e) {
      try (board) {
        throw e;
      }
    }
    WatchedBoard watched = new WatchedBoard(board, refresh);
    watched.refreshAfter(every, every);
    return watched;
  }

  private void refreshAfter(Duration pause, Duration every) {
    var unused =
        dog.schedule(
            () -> refreshAfter(refreshed() ? every : every.dividedBy(5), every),
            pause.toNanos(),
            TimeUnit.NANOSECONDS);
  }

  /** Whether it was sent; if the line is busy it is not. */
  private boolean refreshed() {
    if (!line.tryLock()) {
      return false;
    }
    try {
      refresh.send();
      return true;
    } catch (InstrumentException e) {
      return false;
    } finally {
      line.unlock();
    }
  }

  @Override
  public Identity identity() {
    return board.identity();
  }

  @Override
  public void recognise() throws InstrumentException {
    line.lock();
    try {
      board.recognise();
    } finally {
      line.unlock();
    }
  }

  @Override
  public void set(Map<String, Boolean> wanted) throws InstrumentException {
    line.lock();
    try {
      board.set(wanted);
    } finally {
      line.unlock();
    }
  }

  @Override
  public Set<String> energised() throws InstrumentException {
    line.lock();
    try {
      return board.energised();
    } finally {
      line.unlock();
    }
  }

  /** Ends the refreshing and lets go; frees whoever waits for the board, as the line is closed. */
  @Override
  public void close() throws InstrumentException {
    dog.shutdownNow();
    board.close();
  }
}
