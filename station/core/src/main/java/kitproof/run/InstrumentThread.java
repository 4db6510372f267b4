package kitproof.run;

import java.time.Duration;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicInteger;
import kitproof.driver.InstrumentException;

/**
 * The one thread on which an instrument's calls are made, so that a call that never returns cannot
 * hold up whoever waits for it.
 *
 * <p>A call that has missed its deadline leaves the thread occupied: the instrument is then lost
 * and every further call is refused at once.
 */
final class InstrumentThread implements AutoCloseable {
  private static final long SLICE_NANOS = 50_000_000;

  private final String role;
  private final ExecutorService thread;
  private final AtomicInteger underWay = new AtomicInteger();
  private volatile String stuckIn = "";

  InstrumentThread(String role) {
    this.role = role;
    this.thread =
        Executors.newSingleThreadExecutor(
            work -> {
              Thread daemon = new Thread(work, "kitproof-" + role);
              daemon.setDaemon(true);
              return daemon;
            });
  }

  /** Whether a call has not returned in time. */
  boolean isStuck() {
    return !stuckIn.isEmpty();
  }

  /** Whether a call is under way, waited for or not. */
  boolean isBusy() {
    return underWay.get() > 0;
  }

  /**
   * Makes a call and waits for it.
   *
   * @param what for messages, such as "read hv"
   * @param whileWaiting done every now and then while waiting
   * @throws InstrumentException what the call threw; TIMEOUT if it did not return; OTHER if it
   *     threw anything it should not
   * @throws InterruptedException if the waiting was interrupted; the call may still be going on
   */
  <T> T call(String what, Duration deadline, Runnable whileWaiting, Callable<T> call)
      throws InstrumentException, InterruptedException {
    if (isStuck()) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE,
          role + " has not come back from \"" + stuckIn + "\"");
    }
    underWay.incrementAndGet();
    Future<T> future =
        thread.submit(
            () -> {
              try {
                return call.call();
              } finally {
                underWay.decrementAndGet();
              }
            });
    long left = deadline.toNanos();
    while (true) {
      try {
        whileWaiting.run();
        return future.get(Math.min(left, SLICE_NANOS), TimeUnit.NANOSECONDS);
      } catch (TimeoutException e) {
        left -= SLICE_NANOS;
        if (left <= 0) {
          stuckIn = what;
          future.cancel(true);
          throw new InstrumentException(
              InstrumentException.Kind.TIMEOUT,
              role + " did not " + what + " within " + deadline.toMillis() + " ms",
              e);
        }
      } catch (ExecutionException e) {
        throw translated(what, e);
      }
    }
  }

  private InstrumentException translated(String what, ExecutionException e) {
    if (e.getCause() instanceof InstrumentException known) {
      return new InstrumentException(known.kind(), role + ": " + known.getMessage(), known);
    }
    return new InstrumentException(
        InstrumentException.Kind.OTHER,
        role + ": the driver failed in \"" + what + "\": " + e.getCause(),
        e.getCause());
  }

  @Override
  public void close() {
    thread.shutdownNow();
  }
}
