package kitproof.interlock;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.atomic.AtomicReference;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Consumer;
import kitproof.driver.BenchClock;
import org.jspecify.annotations.Nullable;

/**
 * A simulated bench's clock that gives interlocks their turn: whoever sleeps stops at every moment
 * at which one has to look, lets it look, and sleeps on. So they look at the same moments of bench
 * time in every run, however fast that passes.
 *
 * <p>What is shared waits for its end, as on a real bench: a meter in the middle of a step's
 * reading is read right after it, and while relays are being switched a trip acts right after that
 * ({@link #catchUp}).
 */
public final class TurnClock implements BenchClock {
  private final BenchClock time;
  private final ReentrantLock turn = new ReentrantLock();
  private final AtomicReference<@Nullable Trip> owed = new AtomicReference<>();
  private volatile @Nullable Duty duty;
  private final AtomicReference<@Nullable Later> later = new AtomicReference<>();

  /** Something to do once, in a turn, at a moment of bench time. */
  private record Later(long at, Runnable what) {}

  private record Duty(Interlocks interlocks, MeterAccess access, Consumer<Trip> onTrip) {}

  public TurnClock(BenchClock time) {
    this.time = time;
  }

  /** From here on these have their turns. Give {@link #tripped} to them as what acts. */
  public void attach(Interlocks interlocks, MeterAccess access, Consumer<Trip> onTrip) {
    duty = new Duty(interlocks, access, onTrip);
  }

  /**
   * Has something done in a turn, once, this long from now; in the place of what was to be done.
   */
  public void later(Duration after, Runnable what) {
    later.set(new Later(time.nanos() + after.toNanos(), what));
  }

  /** What has not been done yet is not wanted any more. */
  public void notLater() {
    later.set(null);
  }

  /** One has tripped: acts now, or as soon as the relays can be switched. */
  public void tripped(Trip trip) {
    owed.set(trip);
    act();
  }

  private void act() {
    Duty now = duty;
    if (now != null && !now.access.switching()) {
      Trip trip = owed.getAndSet(null);
      if (trip != null) {
        now.onTrip.accept(trip);
      }
    }
  }

  /** After every call of an instrument: what had to wait for its end is done. */
  public void catchUp() {
    takeTurn();
    act();
  }

  @Override
  public long nanos() {
    return time.nanos();
  }

  @Override
  public Instant now() {
    return time.now();
  }

  @Override
  public void sleep(Duration duration) throws InterruptedException {
    Duty now = duty;
    boolean watched = now != null && !now.interlocks.isEmpty();
    if ((!watched && later.get() == null) || duration.isNegative() || duration.isZero()) {
      time.sleep(duration);
      return;
    }
    long end = time.nanos() + duration.toNanos();
    for (long left = duration.toNanos(); left > 0; left = end - time.nanos()) {
      long untilDue = turn.isLocked() ? left : nextTurn(now) - time.nanos();
      time.sleep(Duration.ofNanos(Math.max(1, Math.min(left, untilDue))));
      takeTurn();
    }
  }

  private long nextTurn(@Nullable Duty now) {
    Later once = later.get();
    return Math.min(
        now == null ? Long.MAX_VALUE : due(now), once == null ? Long.MAX_VALUE : once.at);
  }

  /** The next moment at which an interlock can look. */
  private static long due(Duty duty) {
    long due = Long.MAX_VALUE;
    if (!duty.interlocks.isOver()) {
      for (Watch watch : duty.interlocks.watches()) {
        long stale = watch.staleAt();
        due = Math.min(due, stale == Long.MAX_VALUE ? stale : stale + 1);
        if (!duty.access.reading(watch.interlock().meter())) {
          due = Math.min(due, watch.readingDue());
        }
      }
    }
    return due;
  }

  private void takeTurn() {
    Duty now = duty;
    // A sleep within a turn is the meter's; one who is to stop has nothing to look for any more.
    boolean nothing = now == null && later.get() == null;
    if (nothing || Thread.currentThread().isInterrupted() || !turn.tryLock()) {
      return;
    }
    try {
      if (turn.getHoldCount() == 1) {
        doLater();
        if (now != null) {
          look(now);
        }
      }
    } finally {
      turn.unlock();
    }
  }

  private void doLater() {
    Later once = later.get();
    if (once != null && once.at <= time.nanos() && later.compareAndSet(once, null)) {
      once.what.run();
    }
  }

  private void look(Duty now) {
    List<Watch> watches = now.interlocks.watches();
    for (Watch watch : watches) {
      boolean due = watch.readingDue() <= time.nanos();
      if (due && !now.interlocks.isOver() && !now.access.reading(watch.interlock().meter())) {
        now.interlocks.read(watch, now.access);
      }
    }
    now.interlocks.look();
  }
}
