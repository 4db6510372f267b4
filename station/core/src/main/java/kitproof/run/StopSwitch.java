package kitproof.run;

import org.jspecify.annotations.Nullable;

/**
 * Asks a run to stop, from any thread, at any moment.
 *
 * <p>The first request ends the steps and lets the shut-down be measured; a second one ends that too.
 */
final class StopSwitch {
  private @Nullable Thread runner;
  private @Nullable Cause cause;
  private boolean shuttingDown;
  private boolean closed;

  /** Why a run stops. */
  record Cause(String reason, boolean stationAtFault) {}

  /** Called by the run's own thread before anything else. */
  synchronized void attach() {
    runner = Thread.currentThread();
  }

  /** Called by the run's own thread when nothing can be stopped any more; clears its interrupt. */
  synchronized void detach() {
    runner = null;
    closed = true;
    Thread.interrupted();
  }

  /** Asks to stop; the first cause is kept. */
  synchronized void request(Cause why) {
    if (closed || (cause != null && !shuttingDown)) {
      return;
    }
    if (cause == null) {
      cause = why;
    }
    if (runner != null) {
      runner.interrupt();
    }
  }

  /** The first request's cause, or null. */
  synchronized @Nullable Cause cause() {
    return cause;
  }

  /** From here on only a new request interrupts; clears the interrupt of the earlier one. */
  synchronized void beginShutDown() {
    shuttingDown = true;
    Thread.interrupted();
  }
}
