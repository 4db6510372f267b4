package kitproof.run;

import org.jspecify.annotations.Nullable;

/**
 * Asks a run to stop, from any thread, at any moment.
 *
 * <p>How far a request reaches is what it says, not when it comes: one for the steps never ends the
 * watch over the discharge, not even if it comes when the steps are over already.
 */
final class StopSwitch {
  private @Nullable Thread runner;
  private @Nullable Cause duringSteps;
  private @Nullable Cause duringShutDown;
  private @Nullable Cause first;
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
    return first;
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
   * @return what that has come to
   */
  synchronized StopEffect request(Cause why, StopReach reach) {
    if (over) {
      return StopEffect.TOO_LATE;
    }
    first = first == null ? why : first;
    if (!shuttingDown) {
      duringSteps = duringSteps == null ? why : duringSteps;
    } else if (reach == StopReach.STEPS) {
      return StopEffect.WATCH_GOES_ON;
    }
    if (reach == StopReach.WATCH_TOO) {
      duringShutDown = duringShutDown == null ? why : duringShutDown;
    }
    if (shielded) {
      owed = true;
    } else if (runner != null) {
      runner.interrupt();
    }
    return reach == StopReach.WATCH_TOO ? StopEffect.WATCH_ENDED : StopEffect.STEPS_ENDED;
  }

  /** Asks what goes on at the moment to end: the steps, or the shut-down. */
  synchronized StopEffect requestNow(Cause why) {
    return request(why, shuttingDown ? StopReach.WATCH_TOO : StopReach.STEPS);
  }

  /** Why what goes on now has to stop, or null. */
  synchronized @Nullable Cause pending() {
    return shuttingDown ? duringShutDown : duringSteps;
  }

  /**
   * From here on only a request that reaches the watch stops; clears the interrupt of earlier ones.
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
