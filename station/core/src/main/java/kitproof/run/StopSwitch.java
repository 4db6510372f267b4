package kitproof.run;

import org.jspecify.annotations.Nullable;

/**
 * Asks a run to stop, from any thread, at any moment.
 *
 * <p>A request ends the steps and lets the shut-down be measured; a request during the shut-down
 * ends that too.
 */
final class StopSwitch {
  private @Nullable Thread runner;
  private @Nullable Cause duringSteps;
  private @Nullable Cause duringShutDown;
  private boolean shuttingDown;
  private boolean shielded;
  private boolean owed;
  private boolean over;

  /**
   * Why a run stops.
   *
   * @param reason for the record
   * @param stationAtFault whether it ends as error rather than aborted
   */
  record Cause(String reason, boolean stationAtFault) {}

  /** Called by the run's own thread before anything else. */
  synchronized void attach() {
    runner = Thread.currentThread();
  }

  /**
   * Called by the run's own thread when nothing can be stopped any more; clears its interrupt.
   *
   * @return the first request that there was, or null
   */
  synchronized @Nullable Cause detach() {
    runner = null;
    over = true;
    var unused = Thread.interrupted();
    return duringSteps != null ? duringSteps : duringShutDown;
  }

  /**
   * From here to {@link #unshield} the run's own thread is not interrupted: an interrupt in the
   * middle of a write would close the journal.
   */
  synchronized void shield() {
    shielded = true;
    owed |= Thread.interrupted();
  }

  /** Gives the interrupt that came meanwhile. */
  synchronized void unshield() {
    shielded = false;
    if (owed) {
      owed = false;
      Thread.currentThread().interrupt();
    }
  }

  /**
   * Asks to stop; of several causes the first is kept.
   *
   * @return false if the run was over, so that there was nothing left to stop
   */
  synchronized boolean request(Cause why) {
    if (over) {
      return false;
    }
    if (shuttingDown) {
      duringShutDown = duringShutDown == null ? why : duringShutDown;
    } else {
      duringSteps = duringSteps == null ? why : duringSteps;
    }
    if (shielded) {
      owed = true;
    } else if (runner != null) {
      runner.interrupt();
    }
    return true;
  }

  /** Why what goes on now has to stop, or null. */
  synchronized @Nullable Cause pending() {
    return shuttingDown ? duringShutDown : duringSteps;
  }

  /**
   * From here on only a new request stops; clears the interrupt of the earlier one.
   *
   * @return the earlier request, or null
   */
  synchronized @Nullable Cause beginShutDown() {
    shuttingDown = true;
    owed = false;
    var unused = Thread.interrupted();
    return duringSteps;
  }
}
