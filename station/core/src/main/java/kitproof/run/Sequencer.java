package kitproof.run;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.Standing;
import kitproof.driver.InstrumentException;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.interlock.Trip;
import kitproof.plan.Bench;
import kitproof.plan.PlanStep;
import org.jspecify.annotations.Nullable;

/**
 * Runs one plan on one unit: the only place that orders things in time and owns the safe state.
 *
 * <p>Whatever happens — a failed result, a driver that throws or never returns, a stop from any
 * thread, a sequencer that stalls — the bench is brought to its safe state first, and the reason is
 * told after. It emits events and waits for no one who reads them. {@link #run()} is called once;
 * {@link #stop} at any time from any thread.
 */
public final class Sequencer {
  /**
   * What the reason begins with where other instruments stand on the bench than calibrated ones.
   */
  public static final String MISFIT = "the calibration does not fit the bench";

  private final RunRequest request;
  private final StopSwitch stop = new StopSwitch();
  private final Halt halt = new Halt();
  private final Tally tally = new Tally();
  private final RunEvents events;
  private final Judging judging;
  private final Timing timing;

  /** Held by a stop until the safe state is commanded, so that the shut-down begins after that. */
  private final Object stopping = new Object();

  private final InterlockGuard guard;
  private final LiveUnit live;
  private boolean shuttingDown;
  private StopSwitch.@Nullable Cause tripInShutDown;
  private boolean shutDownOver;
  private boolean railUnknown;
  private volatile @Nullable SafeKeeper keeper;
  private volatile @Nullable Heartbeat heartbeat;

  public Sequencer(RunRequest request) {
    this.request = request;
    this.events = new RunEvents(request.events(), stop, this::beat);
    this.timing = new Timing(request.clock(), request.ticker());
    this.judging = new Judging(request.limits(), tally, events, request.bench().standing().note());
    this.live = new LiveUnit(events);
    this.guard =
        new InterlockGuard(
            request.plan(), request.bench(), request.clock(), request.latest(), this::trip);
  }

  /**
   * Asks the steps to stop: the bench is made safe at once, the discharge is still watched, also if
   * that goes on already. Returns when the safe state has been commanded.
   *
   * @return whether it counts: the run then does not end as passed. False only if the run was over,
   *     the bench at rest and its instruments closed
   */
  public boolean stop(String reason) {
    return stop(reason, StopReach.STEPS) != StopEffect.TOO_LATE;
  }

  /**
   * Asks the run to stop; as {@link #stop(String)}, but the watch over the discharge ends too if
   * that is asked for.
   */
  public StopEffect stop(String reason, StopReach reach) {
    return stopBecause(new StopSwitch.Cause(reason, false), reach);
  }

  private StopEffect stopBecause(StopSwitch.Cause cause, StopReach reach) {
    synchronized (stopping) {
      boolean watchGoesOn = shuttingDown && reach == StopReach.STEPS;
      if (!watchGoesOn) {
        halt.set();
      }
      StopEffect effect = stop.request(cause, reach);
      SafeKeeper now = keeper;
      if (now != null && watchGoesOn && !now.mainsIsOff()) {
        live.doubt(); // the safe state takes away what the step has selected
        var unused = now.command(cause.reason());
      } else if (now != null && !watchGoesOn) {
        var unused = now.command(cause.reason());
      }
      return effect;
    }
  }

  /** On the thread of whoever noticed. */
  private void trip(Trip trip) {
    synchronized (stopping) {
      StopSwitch.Cause cause = new StopSwitch.Cause(trip.reason(), trip.stationAtFault());
      SafeKeeper now = keeper;
      if (!shuttingDown) {
        var unused = stopBecause(cause, StopReach.STEPS);
      } else if (now != null) { // the mains goes, the discharge is watched all the same
        tripInShutDown = cause;
        var unused = now.commandBeside(cause.reason());
      }
      Duration reaction = Duration.ofNanos(guard.clock().nanos() - trip.sinceNanos());
      events.queue(
          new Event.InterlockTripped(trip.interlock(), trip.why(), trip.reading(), reaction));
    }
  }

  /**
   * Runs the plan to its end.
   *
   * @return the verdict, as the last event told it
   * @throws IOException if not even the start or the end could be made durable; the bench is safe
   *     all the same, and the message says so if the discharge has not been watched
   */
  public Verdict run() throws IOException {
    events.append(request.started());
    if (request.retest() != null) {
      events.append(request.retest());
    }
    Standing standing = request.bench().standing();
    Optional<String> calibration = standing.ofCalibration();
    if (calibration.isPresent()) {
      events.append(
          new Event.CalibrationTold(
              !standing.isUncalibrated(),
              calibration.get(),
              standing.calibration().map(Calibration::certificates).orElse(List.of())));
    }
    for (String told : request.told()) {
      events.append(new Event.Notice(told));
    }
    stop.attach();
    Duration stall = request.deadlines().stall();
    try (Heartbeat beating = new Heartbeat(request.ticker(), stall, this::stalled)) {
      heartbeat = beating;
      openAndRun();
    } catch (UncheckedIOException e) {
      tally.error("the journal could not be written: " + e.getMessage());
    } catch (RuntimeException | Error e) {
      tally.error("the program failed: " + e);
    } finally {
      StopSwitch.Cause cause = stop.detach();
      if (cause != null) {
        tally.stopped(cause, "");
      }
    }
    return end();
  }

  private void stalled() {
    String reason =
        "the sequencer showed no sign of life for "
            + request.deadlines().stall().toMillis()
            + " ms";
    synchronized (stopping) {
      var unused =
          stopBecause(
              new StopSwitch.Cause(reason, true),
              shuttingDown ? StopReach.WATCH_TOO : StopReach.STEPS);
    }
  }

  /** Where the time went; complete when {@link #run} has returned. */
  public Timing timing() {
    return timing;
  }

  private Verdict end() throws IOException {
    timing.end();
    if (tally.verdict() == Verdict.PASS) {
      judging.unmet().forEach(limit -> tally.error("no measurement met the limit for " + limit));
    }
    try {
      if (railUnknown) {
        events.append(new Event.Notice(LiveUnit.TREAT_AS_LIVE));
        events.append(new Event.OpeningTold(SafeToOpen.UNKNOWN, LiveUnit.TREAT_AS_LIVE));
      }
      for (Event.CaptureKept kept : request.captures().keep(tally.verdict())) {
        events.append(kept);
      }
      events.append(new Event.RunEnded(tally.verdict(), tally.reason(), judging.failed()));
    } catch (IOException e) {
      throw railUnknown ? new IOException(e.getMessage() + "; " + LiveUnit.TREAT_AS_LIVE, e) : e;
    }
    return tally.verdict();
  }

  private OpenBench open() throws InstrumentException, InterruptedException {
    return OpenBench.open(
        request.bench(),
        request.drivers(),
        request.unit(),
        request.handling(),
        request.deadlines(),
        this::beat,
        halt,
        guard,
        request.latest(),
        told -> events.queue(new Event.Notice(told)));
  }

  private void openAndRun() {
    try (OpenBench open = timing.in(Timing.Part.OPENING, this::open)) {
      run(open);
      for (String trouble : timing.in(Timing.Part.OPENING, open::closeAll)) {
        tally.error(trouble);
        events.emit(new Event.Notice(trouble));
      }
    } catch (InstrumentException | InterruptedException e) {
      StopSwitch.Cause cause = stop.pending();
      if (cause == null) {
        tally.error(String.valueOf(e.getMessage()));
      } else {
        tally.stopped(cause, "while the bench was being opened");
      }
    }
  }

  private void run(OpenBench open) throws InstrumentException {
    Bench bench = request.bench();
    HeatBudget heat = new HeatBudget(bench.ratings(), request.heat().of(bench), request.clock());
    Routing routing = new Routing(bench, open, guard.interlocks(), heat);
    SafeKeeper safe = new SafeKeeper(open, routing, guard.interlocks(), this::beat);
    keeper = safe;
    try (guard) {
      events.emit(new Event.BenchOpened(open.identities()));
      StepRunner runner =
          new StepRunner(
              open,
              routing,
              guard.clock(),
              events,
              stop,
              tally,
              judging,
              cause -> commandSafe(safe, cause),
              live,
              guard.interlocks(),
              this::beat,
              timing,
              request.captures(),
              request.references().beside(request.unit()));
      runner.makeSafe("start of the run");
      CalibrationFit fit = new CalibrationFit(bench.standing(), open.identities());
      fit.require(); // after the safe state: a refusal leaves the bench safe as well
      fit.corrected().ifPresent(told -> events.emit(new Event.Notice(told)));
      guard.watch(open);
      steps(runner);
      shutDown(runner, routing);
      runner.makeSafe("end of the run");
    } catch (RuntimeException | Error e) {
      // Nothing more can be recorded; what counts now is the bench.
      var unused = safe.command("the run broke off: " + e);
      railUnknown = routing.mainsHasBeenOn() && !shutDownOver;
      throw e;
    } finally {
      keeper = null;
    }
  }

  /** After what a stop or a trip is commanding right now, so that events come in that order. */
  private Event.SafeState commandSafe(SafeKeeper safe, String cause) {
    synchronized (stopping) {
      var unused = shuttingDown; // who had the lock has commanded it now
    }
    return safe.command(cause);
  }

  private void steps(StepRunner runner) {
    List<PlanStep> steps = request.plan().steps();
    for (int i = 0; i < steps.size(); i++) {
      if (tally.mustStop()) {
        runner.skip(i, steps.get(i));
      } else {
        runner.run(i, steps.get(i));
      }
    }
  }

  /** Done whenever mains has been on, whatever happened before; each step ends or breaks it off. */
  private void shutDown(StepRunner runner, Routing routing) {
    StopSwitch.Cause before;
    synchronized (stopping) {
      before = stop.beginShutDown();
      shuttingDown = true;
      halt.lift();
    }
    if (before != null) {
      tally.stopped(before, "");
      routing.forget(); // what the last step selected, a stop right after it has released
    }
    boolean energised = routing.mainsHasBeenOn();
    List<PlanStep> steps = request.plan().shutDown();
    int first = request.plan().steps().size();
    boolean brokenOff = false;
    for (int i = 0; i < steps.size(); i++) {
      if (!energised || brokenOff) {
        runner.skip(first + i, steps.get(i));
      } else {
        synchronized (stopping) {
          if (live.settleDoubt()) {
            routing.forget();
          }
        }
        StepOutcome outcome = runner.run(first + i, steps.get(i));
        brokenOff = outcome == StepOutcome.ERROR || outcome == StepOutcome.ABORTED;
      }
    }
    synchronized (stopping) {
      if (tripInShutDown != null) {
        tally.stopped(tripInShutDown, "during the shut-down");
      }
    }
    if (energised && (steps.isEmpty() || brokenOff)) {
      live.unknown();
    }
    shutDownOver = true;
  }

  private void beat() {
    Heartbeat beating = heartbeat;
    if (beating != null) {
      beating.beat();
      guard.check();
    }
  }
}
