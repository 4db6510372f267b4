package kitproof.run;

import java.time.Duration;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;
import kitproof.driver.InstrumentException;
import org.jspecify.annotations.Nullable;

/**
 * The one thread on which an instrument's calls are made, so that a call that never returns cannot
 * hold up whoever waits for it.
 *
 * <p>A call that has missed its deadline leaves the thread occupied: the instrument is then lost
 * and every further call is refused at once. Only what makes it safe still queues, to be done as
 * soon as that call comes back: it may have switched something by then.
 */
final class InstrumentThread implements AutoCloseable {
  private static final long SLICE_NANOS = 50_000_000;

  private final String role;
  private final ExecutorService thread;
  private final AtomicInteger underWay = new AtomicInteger();
  private final AtomicReference<@Nullable Future<?>> overdue = new AtomicReference<>();
  private final AtomicInteger safeWaiting = new AtomicInteger();
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

  /** Whether a call has missed its deadline and the instrument is given up. */
  boolean isStuck() {
    return !stuckIn.isEmpty();
  }

  /** Whether a call is under way, waited for or not, or has not returned in time. */
  boolean isBusy() {
    return isStuck() || underWay.get() > 0;
  }

  /** Whether a call that makes safe or closes waits for the one that is under way. */
  boolean isSafeStateWaiting() {
    return safeWaiting.get() > 0;
  }

  /**
   * Makes a call and waits for it; who is interrupted while waiting, or waits too long, breaks it
   * off.
   *
   * @param what for messages, such as "read hv"
   * @param whileWaiting done every now and then while waiting
   * @throws InstrumentException what the call threw; TIMEOUT if it did not return; OTHER if it
   *     threw anything it should not
   * @throws InterruptedException if the waiting was interrupted
   */
  <T> T call(String what, Duration deadline, Runnable whileWaiting, Callable<T> call)
      throws InstrumentException, InterruptedException {
    return call(what, deadline, true, whileWaiting, call);
  }

  /**
   * The same for who cannot wait as long as the instrument may take: it is broken off, but the
   * instrument not given up. Whoever calls it next waits for it as for any call.
   */
  <T> T callInTime(String what, Duration patience, Runnable whileWaiting, Callable<T> call)
      throws InstrumentException, InterruptedException {
    return call(what, patience, false, whileWaiting, call);
  }

  private <T> T call(
      String what, Duration deadline, boolean givesUp, Runnable whileWaiting, Callable<T> call)
      throws InstrumentException, InterruptedException {
    Future<T> future = submit(call);
    boolean over = false;
    try {
      T result = await(future, what, deadline, givesUp, whileWaiting);
      over = true;
      return result;
    } finally {
      if (!over) {
        future.cancel(true);
      }
    }
  }

  /**
   * The same, but an interrupt is kept for later, and a call that comes too late is done all the
   * same when the instrument comes to it.
   */
  <T> T callToTheEnd(String what, Duration deadline, Runnable whileWaiting, Callable<T> call)
      throws InstrumentException {
    return toTheEnd(submit(call), what, deadline, whileWaiting);
  }

  /**
   * The same for calls that make safe: queues even if the instrument has not come back from an
   * earlier call. While one of these waits so, a further one is refused at once.
   */
  <T> T callWhenever(String what, Duration deadline, Runnable whileWaiting, Callable<T> call)
      throws InstrumentException {
    Future<?> earlier = overdue.get();
    if (earlier != null && !earlier.isDone()) {
      throw notBack();
    }
    Future<T> future = queueSafe(call);
    try {
      return toTheEnd(future, what, deadline, whileWaiting);
    } finally {
      if (!future.isDone()) {
        overdue.set(future);
      }
    }
  }

  private <T> T toTheEnd(Future<T> future, String what, Duration deadline, Runnable whileWaiting)
      throws InstrumentException {
    boolean interrupted = Thread.interrupted();
    try {
      while (true) {
        try {
          return await(future, what, deadline, true, whileWaiting);
        } catch (InterruptedException e) {
          interrupted = true;
        }
      }
    } finally {
      if (interrupted) {
        Thread.currentThread().interrupt();
      }
    }
  }

  private <T> Future<T> submit(Callable<T> call) throws InstrumentException {
    if (isStuck()) {
      throw notBack();
    }
    return queue(call);
  }

  private InstrumentException notBack() {
    return new InstrumentException(
        InstrumentException.Kind.UNREACHABLE, role + " has not come back from \"" + stuckIn + "\"");
  }

  private <T> Future<T> queueSafe(Callable<T> call) throws InstrumentException {
    safeWaiting.incrementAndGet();
    try {
      return queue(
          () -> {
            safeWaiting.decrementAndGet();
            return call.call();
          });
    } catch (InstrumentException e) {
      safeWaiting.decrementAndGet();
      throw e;
    }
  }

  private <T> Future<T> queue(Callable<T> call) throws InstrumentException {
    try {
      return thread.submit(
          () -> {
            underWay.incrementAndGet();
            try {
              return call.call();
            } finally {
              underWay.decrementAndGet();
            }
          });
    } catch (RejectedExecutionException e) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE, role + " has been closed", e);
    }
  }

  private <T> T await(
      Future<T> future, String what, Duration deadline, boolean givesUp, Runnable whileWaiting)
      throws InstrumentException, InterruptedException {
    long left = deadline.toNanos();
    while (true) {
      try {
        whileWaiting.run();
        return future.get(Math.min(left, SLICE_NANOS), TimeUnit.NANOSECONDS);
      } catch (TimeoutException e) {
        left -= SLICE_NANOS;
        if (left <= 0) {
          stuckIn = isStuck() || !givesUp ? stuckIn : what;
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

  /** Takes no more calls; what is under way ends by itself. */
  @Override
  public void close() {
    thread.shutdown();
  }
}
