package kitproof.interlock;

import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;

/**
 * All interlocks of a run, of which the first that trips acts, once.
 *
 * <p>A reading that a step takes of a watched function counts as well as one of their own, so that
 * a meter that both want is not asked twice. Who lets them look is {@link InterlockThreads} in real
 * time and {@link TurnClock} in simulated time. Safe for several threads.
 */
public final class Interlocks {
  private final List<Watch> watches;
  private final BenchClock clock;
  private final Consumer<Trip> onTrip;
  private final AtomicBoolean over = new AtomicBoolean();
  private Situation situation = Situation.AT_REST;

  /**
   * Prepares them, none armed.
   *
   * @param clock the bench's time
   * @param onTrip takes the mains away; called once at most, on the thread that noticed
   */
  public Interlocks(List<Interlock> interlocks, BenchClock clock, Consumer<Trip> onTrip) {
    this.watches = interlocks.stream().map(Watch::new).toList();
    this.clock = clock;
    this.onTrip = onTrip;
  }

  /** Whether there is nothing to watch. */
  public boolean isEmpty() {
    return watches.isEmpty();
  }

  List<Watch> watches() {
    return watches;
  }

  /** The sequence goes on to another situation: arms and disarms. */
  public synchronized void enter(UnaryOperator<Situation> change) {
    situation = change.apply(situation);
    long now = clock.nanos();
    watches.forEach(watch -> watch.enter(situation, now));
  }

  /**
   * A reading has been taken, by a step or by one of these.
   *
   * @param began bench time at which it was asked for
   */
  public void taken(String meter, String function, Reading reading, long began) {
    for (Watch watch : watches) {
      if (watch.watches(meter, function)) {
        trip(watch.take(reading, began));
      }
    }
  }

  /** Takes a reading for one of them. */
  void read(Watch watch, MeterAccess access) {
    Interlock interlock = watch.interlock();
    long began = clock.nanos();
    try {
      taken(
          interlock.meter(),
          interlock.function(),
          access.read(interlock.meter(), interlock.function()),
          began);
    } catch (InstrumentException e) {
      if (!Thread.currentThread().isInterrupted()) { // else the run is being stopped already
        trip(watch.failed(String.valueOf(e.getMessage()), clock.nanos()));
      }
    }
  }

  /** Looks whether all of them are still being read. */
  void look() {
    long now = clock.nanos();
    watches.forEach(watch -> trip(watch.look(now)));
  }

  /** Whatever watches the interlocks has itself shown no sign of life. */
  void unwatched(String why) {
    trip(Optional.of(new Trip("watch over the interlocks", why, null, true, clock.nanos())));
  }

  /** Whether one has tripped, or none is wanted any more. */
  boolean isOver() {
    return over.get();
  }

  /** None trips from here on. */
  public void end() {
    over.set(true);
  }

  private void trip(Optional<Trip> trip) {
    if (trip.isPresent() && over.compareAndSet(false, true)) {
      onTrip.accept(trip.get());
    }
  }
}
