package kitproof.run;

import java.time.Duration;
import java.util.concurrent.Callable;
import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;

/** How the calls of one instrument are made: on its own thread, each with a deadline. */
final class InstrumentCalls {
  private final String role;
  private final InstrumentThread thread;
  private final Deadlines deadlines;
  private final Runnable beat;
  private final InterlockGuard guard;

  InstrumentCalls(
      String role,
      InstrumentThread thread,
      Deadlines deadlines,
      Runnable beat,
      InterlockGuard guard) {
    this.role = role;
    this.thread = thread;
    this.deadlines = deadlines;
    this.beat = beat;
    this.guard = guard;
  }

  /** Something that yields nothing. */
  interface Action {
    void run() throws InstrumentException;
  }

  /** The role, for messages. */
  String role() {
    return role;
  }

  /** A step's reading, which counts for interlocks as well. */
  void taken(String function, Reading reading, long began) {
    guard.taken(role, function, reading, began);
    guard.callOver();
  }

  /** Bench time. */
  long nanos() {
    return guard.clock().nanos();
  }

  /** Whether a call is under way. */
  boolean isBusy() {
    return thread.isBusy();
  }

  /** Whether a call is under way that may still come back in time. */
  boolean isInCall() {
    return thread.isBusy() && !thread.isStuck();
  }

  /** A call of the sequence. */
  <T> T call(String what, Callable<T> call) throws InstrumentException {
    return broken(what, () -> thread.call(what, deadlines.call(), beat, call));
  }

  /**
   * A call of the sequence that takes so much longer by itself, as a signal does.
   *
   * @param meanwhile done every now and then until it comes back
   */
  <T> T callMeanwhile(String what, Duration more, Runnable meanwhile, Callable<T> call)
      throws InstrumentException {
    Runnable whileWaiting =
        () -> {
          beat.run();
          meanwhile.run();
        };
    return broken(what, () -> thread.call(what, deadlines.call().plus(more), whileWaiting, call));
  }

  /**
   * A call of the sequence for which there is no more than this time. On a simulated bench that is
   * bench time, which passes as the instrument lets it: there the usual deadline holds.
   */
  <T> T callInTime(String what, Duration patience, Callable<T> call) throws InstrumentException {
    boolean usual = !guard.isInRealTime() || patience.compareTo(deadlines.call()) >= 0;
    return usual
        ? call(what, call)
        : broken(what, () -> thread.callInTime(what, patience, beat, call));
  }

  /** A call beside the sequence, of whose life it is no sign. */
  <T> T callBeside(String what, Callable<T> call) throws InstrumentException {
    return broken(what, () -> thread.call(what, deadlines.call(), () -> {}, call));
  }

  /**
   * The same for who has no more than this time, which does not give the instrument up. On a
   * simulated bench the usual deadline holds.
   */
  void callBesideInTime(String what, Duration patience, Callable<Boolean> call)
      throws InstrumentException {
    var unused =
        guard.isInRealTime()
            ? broken(what, () -> thread.callInTime(what, patience, () -> {}, call))
            : callBeside(what, call);
  }

  private interface Waiting<T> {
    T get() throws InstrumentException, InterruptedException;
  }

  private <T> T broken(String what, Waiting<T> call) throws InstrumentException {
    try {
      return call.get();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, role + ": stopped while it was to " + what, e);
    } finally {
      guard.callOver(); // also of a call that failed: what had to wait for its end is due
    }
  }

  /** A call of the sequence that is done even by a thread that has been interrupted. */
  <T> T callToTheEnd(String what, Callable<T> call) throws InstrumentException {
    return thread.callToTheEnd(what, deadlines.call(), beat, call);
  }

  /** Makes safe or closes, whatever else is under way; a sign of life of the sequence. */
  void toTheEnd(String what, Action action) throws InstrumentException {
    toTheEnd(thread, what, beat, action);
  }

  /** The same for a thread whose waiting is no sign of anybody's life. */
  void toTheEndBeside(String what, Action action) throws InstrumentException {
    toTheEnd(thread, what, () -> {}, action);
  }

  /** The same on a thread of its own, which may free a call that does not come back. */
  void toTheEndFromHere(String what, Action action) throws InstrumentException {
    toTheEndFromHere(what, beat, action);
  }

  /** Likewise, by a thread whose waiting is no sign of anybody's life. */
  void toTheEndFromHereBeside(String what, Action action) throws InstrumentException {
    toTheEndFromHere(what, () -> {}, action);
  }

  private void toTheEndFromHere(String what, Runnable whileWaiting, Action action)
      throws InstrumentException {
    try (InstrumentThread other = new InstrumentThread(role)) {
      toTheEnd(other, what, whileWaiting, action);
    }
  }

  private void toTheEnd(InstrumentThread on, String what, Runnable whileWaiting, Action action)
      throws InstrumentException {
    var unused = on.callWhenever(what, deadlines.safe(), whileWaiting, done(action));
  }

  /** An action as a call. */
  static Callable<Boolean> done(Action action) {
    return () -> {
      action.run();
      return true;
    };
  }

  /** Takes no more calls. */
  void end() {
    thread.close();
  }
}
