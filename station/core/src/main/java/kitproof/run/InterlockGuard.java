package kitproof.run;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Stream;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.interlock.Interlock;
import kitproof.interlock.InterlockThreads;
import kitproof.interlock.Interlocks;
import kitproof.interlock.MeterAccess;
import kitproof.interlock.Trip;
import kitproof.interlock.TurnClock;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.TimeKind;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * A run's interlocks on its bench, those that every bench has included: in real time on threads of
 * their own, on a simulated bench in turns of its clock.
 */
final class InterlockGuard implements AutoCloseable {
  /** Of a relay board. */
  private static final Reading ALL_IS_WELL = new Reading.Value(Quantity.of(1, Unit.ONE));

  private final Consumer<Trip> onTrip;
  private final BenchClock clock;
  private final boolean realTime;
  private final List<Interlock> declared;
  private final Latest latest;
  private final Interlocks interlocks;
  private final @Nullable TurnClock turns;
  private volatile @Nullable InterlockThreads threads;

  InterlockGuard(Plan plan, Bench bench, BenchClock time, Latest latest, Consumer<Trip> onTrip) {
    this.onTrip = onTrip;
    this.declared = plan.interlocks();
    this.latest = latest;
    List<Interlock> all = new ArrayList<>(declared);
    all.addAll(BoardLooks.of(bench));
    this.realTime = bench.time() == TimeKind.REAL;
    if (!realTime || time.passesBySleepingOnly()) {
      TurnClock inTurns = new TurnClock(time);
      this.turns = inTurns;
      this.clock = inTurns;
      this.interlocks = new Interlocks(all, inTurns, inTurns::tripped);
    } else {
      this.turns = null;
      this.clock = time;
      this.interlocks = new Interlocks(all, time, onTrip);
    }
  }

  /** The bench's time as instruments and steps are to see it. */
  BenchClock clock() {
    return clock;
  }

  /** Whether bench time is real, so that a deadline of bench time can be waited for. */
  boolean isInRealTime() {
    return realTime;
  }

  Interlocks interlocks() {
    return interlocks;
  }

  /** The simulated bench's clock, which gives turns; null in real time. */
  @Nullable TurnClock turns() {
    return turns;
  }

  /**
   * From here on they watch these instruments.
   *
   * @throws InstrumentException RANGE if a meter reads in another unit than its interlock's band; a
   *     driver may not have been able to tell before it was opened
   */
  void watch(OpenBench open) throws InstrumentException {
    for (Interlock interlock : declared) {
      OpenInstrument meter = open.in(interlock.meter(), InstrumentKind.METER);
      for (MeterFunction function : meter.meter().functions()) {
        if (function.name().equals(interlock.function()) && !interlock.isIn(function.unit())) {
          throw new InstrumentException(
              InstrumentException.Kind.RANGE, interlock.inAnotherUnit(function.unit()));
        }
      }
    }
    Access access = new Access(open, latest);
    if (turns == null) {
      threads = new InterlockThreads(interlocks, access, clock);
    } else {
      turns.attach(interlocks, access, onTrip);
    }
  }

  /** A sign of life of the sequence, which looks after the watch over the interlocks. */
  void check() {
    InterlockThreads now = threads;
    if (now != null) {
      now.check();
    }
  }

  /** A step has read a meter. */
  void taken(String meter, String function, Reading reading, long began) {
    latest.read(meter, function, reading);
    interlocks.taken(meter, function, reading, began);
  }

  /** A step's call of an instrument is over. */
  void callOver() {
    if (turns != null) {
      turns.catchUp();
    }
  }

  @Override
  public void close() {
    interlocks.end();
    InterlockThreads now = threads;
    if (now != null) {
      now.close();
    }
  }

  private record Access(OpenBench open, Latest latest) implements MeterAccess {
    @Override
    public Reading read(String meter, String function) throws InstrumentException {
      Optional<OpenInstrument> board = board(meter);
      if (board.isPresent()) {
        board.get().look();
        return ALL_IS_WELL;
      }
      Reading reading = open.in(meter, InstrumentKind.METER).readForInterlock(function);
      latest.read(meter, function, reading);
      return reading;
    }

    private Optional<OpenInstrument> board(String role) {
      return open.all(InstrumentKind.SWITCHER).stream()
          .filter(board -> board.role().name().equals(role))
          .findFirst();
    }

    @Override
    public boolean reading(String meter) {
      return Stream.of(InstrumentKind.METER, InstrumentKind.SWITCHER)
          .flatMap(kind -> open.all(kind).stream())
          .anyMatch(m -> m.role().name().equals(meter) && m.isBusy());
    }

    @Override
    public boolean switching() {
      return open.all(InstrumentKind.SWITCHER).stream().anyMatch(OpenInstrument::isInCall);
    }
  }
}
