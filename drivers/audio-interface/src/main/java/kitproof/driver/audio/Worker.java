package kitproof.driver.audio;

import java.time.Duration;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import org.jspecify.annotations.Nullable;

/**
 * Runs calls into the sound system with a deadline.
 *
 * <p>A sound server that holds its connections and answers nothing keeps a call in native code for
 * ever, where no interrupt reaches it. Such a call is left behind on its thread, and until it
 * returns the device counts as lost.
 */
final class Worker {
  private final ExecutorService thread =
      Executors.newSingleThreadExecutor(
          work -> {
            Thread made = new Thread(work, "kitproof-audio");
            made.setDaemon(true);
            return made;
          });

  private volatile @Nullable Future<?> running;

  <T> T call(Duration deadline, Callable<T> work) throws InstrumentException {
    Future<?> earlier = running;
    if (earlier != null && !earlier.isDone()) {
      throw new InstrumentException(
          Kind.UNREACHABLE, "the sound system has not come back from an earlier call");
    }
    Future<T> future = thread.submit(work);
    running = future;
    try {
      return future.get(deadline.toMillis(), TimeUnit.MILLISECONDS);
    } catch (TimeoutException e) {
      throw new InstrumentException(
          Kind.TIMEOUT,
          "the sound system has not come back after " + deadline.toMillis() + " ms",
          e);
    } catch (InterruptedException e) {
      future.cancel(true);
      Thread.currentThread().interrupt();
      throw new InstrumentException(Kind.OTHER, "interrupted", e);
    } catch (ExecutionException e) {
      Throwable cause = e.getCause();
      if (cause instanceof InstrumentException trouble) {
        throw trouble;
      }
      throw new InstrumentException(Kind.OTHER, "the sound system failed: " + cause, cause);
    }
  }

  /**
   * Does something from when the call that runs has returned until the next one is made, of which
   * it has to take notice by itself.
   *
   * @return whether it will; if not, this has been closed
   */
  boolean meanwhile(Runnable work) {
    try {
      thread.execute(work);
      return true;
    } catch (RejectedExecutionException e) {
      return false;
    }
  }

  /** Waits for the call that runs to return, and does a last thing; takes no others. */
  void close(Duration deadline, Runnable last) throws InstrumentException {
    thread.execute(last);
    thread.shutdown();
    try {
      if (!thread.awaitTermination(deadline.toMillis(), TimeUnit.MILLISECONDS)) {
        throw new InstrumentException(
            Kind.TIMEOUT, "the audio device cannot be closed; it may still be playing");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(Kind.OTHER, "interrupted", e);
    }
  }
}
