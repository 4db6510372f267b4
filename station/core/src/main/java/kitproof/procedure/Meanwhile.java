package kitproof.procedure;

import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.function.Supplier;

/**
 * A value that is worked out while the interface plays.
 *
 * <p>For pure computing only: it touches no instrument and nothing of the run, so that the result
 * is the same whenever it is done, and one that nobody waits for any more, after a stop, harms
 * nothing.
 */
final class Meanwhile<T> {
  private final CompletableFuture<T> future;

  private Meanwhile(CompletableFuture<T> future) {
    this.future = future;
  }

  /** Begins at once, on another thread. */
  static <T> Meanwhile<T> begin(Supplier<T> work) {
    return new Meanwhile<>(CompletableFuture.supplyAsync(work));
  }

  /** The value, once it is there; what the work has thrown is thrown here. */
  T get() {
    try {
      return future.join();
    } catch (CompletionException e) {
      if (e.getCause() instanceof RuntimeException cause) {
        throw cause;
      }
      if (e.getCause() instanceof Error cause) {
        throw cause;
      }
      throw e;
    }
  }
}
