package kitproof.cli;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Supplier;
import kitproof.driver.BenchClock;
import kitproof.run.StopEffect;
import kitproof.run.StopReach;
import kitproof.screen.PlanFacts;
import kitproof.screen.Screen;
import kitproof.screen.Station;
import kitproof.store.IndexException;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/** The station behind a screen: one run at a time, on the same way as one from the terminal. */
final class ServedStation implements Station, AutoCloseable {
  /** Why a run ends with the program. */
  static final String ENDED = "the program was ended";

  private final OrderFiles files;
  private final String batch;
  private final Screen screen;
  private final Session session;
  private final Supplier<BenchClock> clocks;
  private final @Nullable Terminal shown;

  /** Of the runs of this program: they may not be in the index yet. */
  private final Set<String> batches = new TreeSet<>();

  private @Nullable UnitRun running;
  private @Nullable Thread thread;
  private boolean closing;

  /**
   * At a bench.
   *
   * @param files of its orders, its bench as the session publishes it
   * @param clocks a clock for each run
   * @param shown where to print as well, or null
   * @param batch that units usually belong to; empty if none
   */
  ServedStation(
      OrderFiles files,
      Screen screen,
      Session session,
      Supplier<BenchClock> clocks,
      @Nullable Terminal shown,
      String batch) {
    this.files = files;
    this.screen = screen;
    this.session = session;
    this.clocks = clocks;
    this.shown = shown;
    this.batch = batch;
  }

  /**
   * Brings the bench to its safe state before anybody uses it, and says what came of it: the
   * program before may have been killed in the middle of a run.
   */
  void makeSafe() throws InterruptedException {
    screen.note(
        CutShort.safeStart(
                files.bench(),
                files.drivers(),
                clocks.get(),
                screen::note,
                "read back when this program started")
            .told());
  }

  /** Says at once that units will be refused, before somebody has put one on the bench. */
  void tellLock() {
    files.lock().ifPresent(screen::note);
  }

  @Override
  public List<Choice> plans() {
    try {
      return files.shelf().choices();
    } catch (IOException e) {
      screen.note("The plans cannot be read: " + Main.message(e));
      return List.of();
    }
  }

  @Override
  public Batches batches() {
    Set<String> known = new TreeSet<>();
    try {
      known.addAll(session.batches());
    } catch (IndexException e) {
      screen.note("The batches that there have been are not known: " + e.getMessage());
    }
    synchronized (this) {
      known.addAll(batches);
    }
    return new Batches(batch, List.copyOf(known));
  }

  @Override
  public Optional<List<Problem>> check(String plan) {
    try {
      return files.check(plan);
    } catch (IOException e) {
      screen.note("The plans cannot be read: " + Main.message(e));
      return Optional.empty();
    }
  }

  @Override
  public List<Instrument> instruments() {
    return files.instruments();
  }

  @Override
  public synchronized Started start(Order order) {
    if (running != null || closing) {
      return Started.refused(
          closing ? "this program is being ended" : "a run is going on at this bench");
    }
    try {
      OrderFiles.Answer answer = files.prepare(order);
      Prepared prepared = answer.prepared();
      if (prepared != null) {
        begin(prepared, order);
      }
      return answer.started();
    } catch (IOException e) {
      return Started.refused(Main.message(e));
    }
  }

  private void begin(Prepared prepared, Order order) {
    UnitRun run = unitRun(prepared);
    running = run;
    String batchOfIt = batch(prepared, order);
    if (!batchOfIt.isEmpty()) {
      batches.add(batchOfIt);
    }
    screen.beginning(order.unit());
    Thread runner = new Thread(() -> runToTheEnd(run, prepared, order, batchOfIt), "kitproof-run");
    thread = runner;
    runner.start();
  }

  /** A check or a calibration of the station is no unit of the batch that is being tested. */
  static String batch(Prepared prepared, Order order) {
    return StationGate.isOfTheStation(prepared, order.unit()) ? "" : order.batch();
  }

  private UnitRun unitRun(Prepared prepared) {
    PlanFacts facts = new PlanFacts(prepared.plan(), prepared.limits());
    return new UnitRun(
        prepared,
        files.drivers(),
        null,
        (follower, latest, clock) ->
            screen.follow(follower, latest, facts, clock, prepared.causes()::suggest));
  }

  private void runToTheEnd(UnitRun run, Prepared prepared, Order order, String batch) {
    String trouble = "the program failed";
    try {
      UnitRun.Outcome outcome = run.run(session.store(), order.unit(), batch, clocks.get(), shown);
      trouble = "";
      session.recorded();
      AfterRun.ofTheStation(prepared, files.benchFile(), files.records(), order, outcome)
          .ifPresent(screen::note);
      if (shown != null) {
        outcome.overridden().ifPresent(shown.out()::println);
        shown.out().println(RunCommand.verdict(outcome, shown.words()));
        shown.out().println();
      }
    } catch (IOException | RuntimeException e) {
      trouble = Main.message(e);
    } finally {
      over(trouble);
    }
  }

  private synchronized void over(String trouble) {
    running = null;
    screen.over(trouble);
  }

  /**
   * Runs one unit of a batch that goes on by itself; returns when it has ended.
   *
   * @throws IOException if journal or record could not be written, or a run is going on already
   */
  UnitRun.Outcome runNow(Prepared prepared, String unit, String batch) throws IOException {
    UnitRun run = unitRun(prepared);
    synchronized (this) {
      if (running != null || closing) {
        throw new IOException("a run is going on at this bench");
      }
      running = run;
      screen.beginning(unit);
    }
    String trouble = "the run was not recorded to its end";
    try {
      UnitRun.Outcome outcome = run.run(session.store(), unit, batch, clocks.get(), shown);
      trouble = "";
      return outcome;
    } finally {
      over(trouble);
    }
  }

  @Override
  public StopEffect stop(String reason, StopReach reach) {
    UnitRun now;
    synchronized (this) {
      now = running;
    }
    return now == null ? StopEffect.TOO_LATE : now.stop(reason, reach);
  }

  /** Ends: a run that goes on is stopped, and its discharge still watched. */
  @Override
  public void close() {
    Thread last;
    synchronized (this) {
      last = thread;
      if (running != null && !closing && !screen.onlyDischargeLeft()) {
        screen.stopping();
        var unused = running.stop(ENDED, StopReach.STEPS);
      }
      closing = true;
    }
    if (last == null) {
      return;
    }
    try {
      last.join();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
