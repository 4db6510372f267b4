package kitproof.interlock;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.atomic.AtomicReference;
import java.util.concurrent.locks.LockSupport;
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
 * ({@link #catchUp}). It does not wait for a switching that does not come to its end: after {@link
 * #PATIENCE} of real time it acts all the same, on a thread of its own.
 */
public final class TurnClock implements BenchClock {
  /** Simulated relays are switched in no time; a call that takes this long hangs. In real time. */
  private static final Duration PATIENCE = Duration.ofSeconds(1);

  private static final Duration SLICE = Duration.ofMillis(20);

  private final BenchClock time;
  private final ReentrantLock turn = new ReentrantLock();
  private final AtomicReference<@Nullable Trip> owed = new AtomicReference<>();
  private volatile @Nullable Duty duty;
  private volatile @Nullable Errand errand;

  /** Something to be done at moments of its own while time passes. */
  public interface Errand {
    /** Bench time of the next moment; {@link Long#MAX_VALUE} if there is none. */
    long due();

    /** Does it; time may pass meanwhile. */
    void run();
  }

  private record Duty(Interlocks interlocks, MeterAccess access, Consumer<Trip> onTrip) {}

  public TurnClock(BenchClock time) {
    this.time = time;
  }

  /** From here on these have their turns. Give {@link #tripped} to them as what acts. */
  public void attach(Interlocks interlocks, MeterAccess access, Consumer<Trip> onTrip) {
    duty = new Duty(interlocks, access, onTrip);
  }

  /** From here on a step's errand has its turns too; null to end that. */
  public void errand(@Nullable Errand wanted) {
    errand = wanted;
  }

  /** One has tripped: acts now, or as soon as the relays can be switched, or when they hang. */
  public void tripped(Trip trip) {
    owed.set(trip);
    act();
    if (owed.get() != null) {
      Thread thread = new Thread(this::actAllTheSame, "kitproof-trip");
      thread.setDaemon(true);
      thread.start();
    }
  }

  private void act() {
    Duty now = duty;
    if (now != null && !now.access.switching()) {
      act(now);
    }
  }

  private void act(Duty now) {
    Trip trip = owed.getAndSet(null);
    if (trip != null) {
      now.onTrip.accept(trip);
    }
  }

  private void actAllTheSame() {
    // counted, not timed: to be a little early or late does no harm here
    for (long slices = PATIENCE.dividedBy(SLICE); owed.get() != null && slices > 0; slices--) {
      LockSupport.parkNanos(SLICE.toNanos());
    }
    Duty now = duty;
    if (now != null) {
      act(now);
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
  public boolean passesBySleepingOnly() {
    return time.passesBySleepingOnly();
  }

  @Override
  public Instant now() {
    return time.now();
  }

  @Override
  public void sleep(Duration duration) throws InterruptedException {
    Duty now = duty;
    if (now == null
        || now.interlocks.isEmpty() && errand == null
        || duration.isNegative()
        || duration.isZero()) {
      time.sleep(duration);
      return;
    }
    long end = time.nanos() + duration.toNanos();
    for (long left = duration.toNanos(); left > 0; left = end - time.nanos()) {
      // A sleep within a turn is that of the meter which is read: nobody reads another meanwhile,
      // but readings that stay away are noticed all the same.
      boolean withinTurn = turn.isLocked();
      long untilDue = (withinTurn ? stale(now) : due(now)) - time.nanos();
      time.sleep(Duration.ofNanos(Math.max(1, Math.min(left, untilDue))));
      if (withinTurn) {
        now.interlocks.look();
      } else {
        takeTurn();
      }
    }
  }

  /** The next moment at which an interlock can look, or the errand is due. */
  private long due(Duty duty) {
    Errand wanted = errand;
    long due = Math.min(stale(duty), wanted == null ? Long.MAX_VALUE : wanted.due());
    if (!duty.interlocks.isOver()) {
      for (Watch watch : duty.interlocks.watches()) {
        if (!duty.access.reading(watch.interlock().meter())) {
          due = Math.min(due, watch.readingDue());
        }
      }
    }
    return due;
  }

  /** The next moment at which a reading is too old, if none comes. */
  private static long stale(Duty duty) {
    long first = Long.MAX_VALUE;
    if (!duty.interlocks.isOver()) {
      for (Watch watch : duty.interlocks.watches()) {
        long stale = watch.staleAt();
        first = Math.min(first, stale == Long.MAX_VALUE ? stale : stale + 1);
      }
    }
    return first;
  }

  private void takeTurn() {
    Duty now = duty;
    // One who is to stop has nothing to look for any more.
    if (now == null || Thread.currentThread().isInterrupted() || !turn.tryLock()) {
      return;
    }
    try {
      if (turn.getHoldCount() == 1) {
        look(now);
      }
    } finally {
      turn.unlock();
    }
  }

  private void look(Duty now) {
    Errand wanted = errand; // first, for what it reads may be what an interlock wants to know
    if (wanted != null && wanted.due() <= time.nanos()) {
      wanted.run();
    }
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
