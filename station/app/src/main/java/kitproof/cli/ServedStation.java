package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import kitproof.calibration.Calibration;
import kitproof.calibration.CalibrationText;
import kitproof.calibration.Entered;
import kitproof.document.Parsed;
import kitproof.driver.BenchClock;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plan.TimeKind;
import kitproof.plugin.Drivers;
import kitproof.run.CalibrationOnBench;
import kitproof.run.StopEffect;
import kitproof.run.StopReach;
import kitproof.screen.PlanFacts;
import kitproof.screen.Screen;
import kitproof.screen.Station;
import kitproof.selfcheck.StationLock;
import kitproof.store.IndexException;
import kitproof.value.Location;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/** The station behind a screen: one run at a time, on the same way as one from the terminal. */
final class ServedStation implements Station, AutoCloseable {
  /** Why a run ends with the program. */
  static final String ENDED = "the program was ended";

  private final PlanShelf shelf;
  private final Path benchFile;
  private final String batch;
  private final boolean uncalibrated;
  private final StationGate.@Nullable Override override;
  private final Bench bench;
  private final Drivers drivers;
  private final Screen screen;
  private final Session session;
  private final Supplier<BenchClock> clocks;
  private final @Nullable Terminal shown;

  /** Of the runs of this program: they may not be in the index yet. */
  private final Set<String> batches = new TreeSet<>();

  private ReferenceUnitOption reference = new ReferenceUnitOption();
  private @Nullable UnitRun running;
  private @Nullable Thread thread;
  private boolean closing;

  /**
   * At a bench.
   *
   * @param bench as the session publishes it
   * @param clocks a clock for each run
   * @param shown where to print as well, or null
   * @param batch that units usually belong to; empty if none
   * @param uncalibrated whether the bench may be without a calibration that holds
   * @param override who has opened the station's lock, and why; null if nobody has
   */
  ServedStation(
      PlanShelf shelf,
      Path benchFile,
      Bench bench,
      Drivers drivers,
      Screen screen,
      Session session,
      Supplier<BenchClock> clocks,
      @Nullable Terminal shown,
      String batch,
      boolean uncalibrated,
      StationGate.@Nullable Override override) {
    this.batch = batch;
    this.override = override;
    this.uncalibrated = uncalibrated;
    this.shelf = shelf;
    this.benchFile = benchFile;
    this.bench = bench;
    this.drivers = drivers;
    this.screen = screen;
    this.session = session;
    this.clocks = clocks;
    this.shown = shown;
  }

  /**
   * Brings the bench to its safe state before anybody uses it, and says what came of it: the
   * program before may have been killed in the middle of a run.
   */
  void makeSafe() throws InterruptedException {
    screen.note(
        CutShort.safeStart(
                bench, drivers, clocks.get(), screen::note, "read back when this program started")
            .told());
  }

  /** From now on runs are compared with this unit, where their plans leave that open. */
  synchronized void compareWith(ReferenceUnitOption option) {
    reference = option;
  }

  /** Says at once that units will be refused, before somebody has put one on the bench. */
  void tellLock() {
    if (override == null) {
      LockNotice.now(bench, benchFile, session.store().folder(), uncalibrated)
          .ifPresent(screen::note);
    }
  }

  @Override
  public List<Choice> plans() {
    try {
      return shelf.choices();
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
      return shelf.file(plan).map(file -> read(file, Entered.NOTHING).problems());
    } catch (IOException e) {
      screen.note("The plans cannot be read: " + Main.message(e));
      return Optional.empty();
    }
  }

  /** What is being calibrated is measured as the instruments show it. */
  private Parsed<Prepared> read(Path plan, Entered entered) {
    Parsed<Plan> calibration = PlanReader.read(plan);
    boolean calibrates = calibration.isSound() && calibration.value().calibrates();
    return Prepared.read(plan, benchFile, drivers, uncalibrated || calibrates)
        .checked(prepared -> undated(prepared, plan, entered));
  }

  /** Who opens the lock for this run: at the screen, or else for all runs of this program. */
  private StationGate.@Nullable Override opening(Order order) {
    Opening at = order.opening();
    return at == null ? override : new StationGate.Override(at.name(), at.reason());
  }

  @Override
  public List<Instrument> instruments() {
    return InstrumentPapers.of(benchFile);
  }

  private List<Problem> undated(Prepared prepared, Path plan, Entered entered) {
    if (!prepared.plan().calibrates()) {
      return List.of();
    }
    List<Problem> problems = new ArrayList<>();
    if (prepared.bench().time() == TimeKind.REAL && prepared.plan().holdsDays() == 0) {
      problems.add(
          Problem.of(
              Location.of(plan.toString()),
              "a calibration that does not say for how long it holds",
              "holds-days: 365, or so"));
    }
    problems.addAll(CalibrationFiles.unreadable(benchFile));
    problems.addAll(CalibrationFiles.uncorrected(prepared.plan(), benchFile));
    problems.addAll(
        Calibration.expiredCertificates(
            CalibrationFiles.before(benchFile),
            entered,
            LocalDate.now(ZoneOffset.UTC),
            Location.of(benchFile.toString())));
    problems.addAll(
        CalibrationOnBench.entered(
            entered, prepared.bench(), Location.of("the papers of the instruments")));
    return problems;
  }

  @Override
  public synchronized Started start(Order order) {
    if (running != null || closing) {
      return Started.refused(
          closing ? "this program is being ended" : "a run is going on at this bench");
    }
    try {
      Optional<Path> file = shelf.file(order.plan());
      if (file.isEmpty()) {
        return Started.refused("there is no plan \"" + order.plan() + "\" any more");
      }
      Parsed<Prepared> prepared = read(file.get(), order.entered());
      if (prepared.isSound() && !StationGate.isOfTheStation(prepared.value(), order.unit())) {
        Path records = session.store().folder();
        Parsed<Prepared> passed =
            StationGate.pass(prepared.value(), benchFile, records, opening(order), Instant.now());
        if (!passed.isSound()) {
          Problem locked = passed.problems().get(0);
          String expected =
              locked
                  .expected()
                  .replace(StationGate.BY_OPTION, "somebody who opens the lock by name and reason");
          return Started.locked(locked.found() + "; expected " + expected);
        }
        prepared = passed;
      }
      if (!prepared.isSound()) {
        return Started.wrong(prepared.problems());
      }
      Optional<Started> wrong =
          OrderRules.wrong(prepared.value(), order, bench, session.store().folder());
      if (wrong.isPresent()) {
        return wrong.get();
      }
      Parsed<Prepared> compared =
          reference.in(prepared.value(), session.store().folder(), order.unit());
      if (!compared.isSound()) {
        return Started.wrong(compared.problems());
      }
      begin(compared.value(), order);
      return Started.BEGUN;
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
        drivers,
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
      ofTheStation(prepared, order, outcome);
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

  /** What came of a run that was of the station itself, not of a unit. */
  private void ofTheStation(Prepared prepared, Order order, UnitRun.Outcome outcome)
      throws IOException {
    if (prepared.plan().calibrates() && outcome.verdict() == Verdict.PASS) {
      LocalDate today = LocalDate.now(ZoneOffset.UTC);
      RunRecord record = RecordDocument.read(outcome.record());
      List<String> dropped =
          CalibrationFiles.before(benchFile)
              .map(of -> CalibrationText.dropped(of, record.instruments()))
              .orElse(List.of());
      Path file =
          CalibrationFiles.write(
              prepared.bench(),
              benchFile,
              record,
              CalibrationFiles.due(prepared.plan(), prepared.bench(), today),
              "",
              order.entered());
      screen.note(
          "The bench is calibrated: "
              + file.getFileName()
              + " was written."
              + dropped.stream()
                  .map(line -> " Not kept: " + line + ".")
                  .collect(Collectors.joining()));
    } else if (!prepared.plan().calibrates()
        && StationGate.isOfTheStation(prepared, order.unit())) {
      List<String> locked =
          StationLock.read(session.store().folder(), prepared.bench().station())
              .map(StationLock::reasons)
              .orElse(List.of());
      screen.note(
          locked.isEmpty()
              ? "The station has been checked and tests units."
              : LockNotice.of(locked));
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
