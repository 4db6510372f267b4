package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Duration;
import java.time.InstantSource;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import kitproof.cause.Found;
import kitproof.cause.Suggestion;
import kitproof.console.Conversation;
import kitproof.console.RunConsole;
import kitproof.driver.BenchClock;
import kitproof.driver.Handling;
import kitproof.event.CaptureShelf;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.EventSink;
import kitproof.event.Verdict;
import kitproof.journal.BenchLock;
import kitproof.journal.CaptureFolder;
import kitproof.journal.Follower;
import kitproof.journal.History;
import kitproof.journal.Journal;
import kitproof.journal.LockFolders;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.plan.KeepCaptures;
import kitproof.plan.KeptCaptures;
import kitproof.plugin.Drivers;
import kitproof.run.Deadlines;
import kitproof.run.HeatBooks;
import kitproof.run.Latest;
import kitproof.run.RunRequest;
import kitproof.run.Sequencer;
import kitproof.run.StopEffect;
import kitproof.run.StopReach;
import kitproof.run.Timing;
import org.jspecify.annotations.Nullable;

/** Runs one unit from the first event to the record on disk. */
final class UnitRun {
  private static final Duration PATIENCE = Duration.ofSeconds(5);
  private static final String BY_OPERATOR = "stopped by the operator";
  private static final String TOO_LATE =
      "stop came too late: the run is over, the bench at rest, and the verdict stands";

  /** One load may be tested by one run after the other. */
  private static final HeatBooks HEAT = new HeatBooks();

  private final Prepared prepared;
  private final Drivers drivers;
  private final @Nullable Conversation conversation;
  private final @Nullable Onlooker onlooker;
  private final AtomicReference<@Nullable Sequencer> running = new AtomicReference<>();
  private final AtomicReference<@Nullable Timing> timing = new AtomicReference<>();
  private final AtomicReference<@Nullable String> stopped = new AtomicReference<>();
  private final AtomicReference<@Nullable RunConsole> shown = new AtomicReference<>();
  private final AtomicBoolean asked = new AtomicBoolean();
  private @Nullable Trial trial;
  private volatile boolean over;

  /** Somebody who watches a run while it goes on. */
  interface Onlooker {
    /**
     * A run begins.
     *
     * @param follower of its journal, which the onlooker closes
     * @param latest its readings and questions
     * @param clock the bench's time
     * @return a thread that ends soon after the run has
     */
    Thread watch(Follower follower, Latest latest, InstantSource clock);
  }

  /** Runs of this plan that ask nobody on a terminal. */
  UnitRun(Prepared prepared, Drivers drivers) {
    this(prepared, drivers, null, null);
  }

  /**
   * Runs of this plan.
   *
   * @param conversation with the person before the terminal, or null if nobody is asked there
   * @param onlooker who watches beside the terminal, or null
   */
  UnitRun(
      Prepared prepared,
      Drivers drivers,
      @Nullable Conversation conversation,
      @Nullable Onlooker onlooker) {
    this.onlooker = onlooker;
    this.prepared = prepared;
    this.drivers = drivers;
    this.conversation = conversation;
  }

  /**
   * That a run is a trial of a gauge study.
   *
   * @param mark for its record
   * @param handling how the unit came to the bench
   * @param records the folder of the station's ordinary runs, where its lock is
   */
  record Trial(Event.GaugeTrial mark, Handling handling, Path records) {}

  /** The runs of this object are that trial: no attempts of the unit. */
  UnitRun as(Trial one) {
    trial = one;
    return this;
  }

  /**
   * What came of it.
   *
   * @param serial the unit
   * @param verdict the run's
   * @param reason why, if not pass
   * @param failed titles of the failed results
   * @param causes what may be behind them
   * @param run the run's name
   * @param record where the document is
   * @param overridden what is to be said if the station's lock was opened for it
   */
  record Outcome(
      String serial,
      Verdict verdict,
      String reason,
      List<String> failed,
      List<Suggestion> causes,
      String run,
      Path record,
      Optional<String> overridden) {
    /** For a program to read. */
    Map<String, Object> tree() {
      Map<String, Object> fields = new LinkedHashMap<>();
      fields.put("serial", serial);
      fields.put("verdict", verdict.toString());
      fields.put("failed", failed);
      fields.put("reason", reason);
      fields.put("run", run);
      fields.put("record", record.toString());
      overridden.ifPresent(told -> fields.put("override", told));
      return fields;
    }
  }

  /** Where the time of the last run went. */
  Optional<Timing> timing() {
    return Optional.ofNullable(timing.get());
  }

  /**
   * Asks the run to stop as the operator at the terminal: the steps, and only when asked again the
   * watch over the discharge.
   *
   * @return what that does, for the operator
   */
  String stop() {
    StopReach reach = asked.getAndSet(true) ? StopReach.WATCH_TOO : StopReach.STEPS;
    return switch (stop(BY_OPERATOR, reach)) {
      case NOTHING_BEGUN -> "stop: nothing is begun any more";
      case STEPS_ENDED ->
          "stop: muting the drive and taking the mains off is commanded. The discharge is still"
              + " watched; stop again to end that too";
      case WATCH_GOES_ON ->
          "stop: the steps are over already. The discharge is still watched; stop again to end that"
              + " too";
      case WATCH_ENDED ->
          "stop, again: the discharge is not watched any more. Treat the unit as live";
      case TOO_LATE -> TOO_LATE;
    };
  }

  /** Asks the run to stop, or not to begin anything if it has not begun yet. */
  StopEffect stop(String reason, StopReach reach) {
    stopped.set(reason);
    Sequencer now = running.get();
    if (now == null) {
      return over ? StopEffect.TOO_LATE : StopEffect.NOTHING_BEGUN;
    }
    return now.stop(reason, reach);
  }

  /** Asks the run to stop and tells the operator on the run's console, or there if it has none. */
  void stopAndSay(PrintWriter otherwise) {
    String told = stop();
    RunConsole console = shown.get();
    if (console == null || !console.say(told)) {
      otherwise.println(told);
      otherwise.flush();
    }
  }

  private static Event.@Nullable Retest retest(List<History.Attempt> before) {
    if (before.isEmpty()) {
      return null;
    }
    History.Attempt last = before.get(before.size() - 1);
    return new Event.Retest(before.size() + 1, last.run(), last.verdict());
  }

  /**
   * Runs.
   *
   * @param store where the record is kept
   * @param terminal where to show it, or null to show nothing
   * @throws IOException if journal or record could not be written
   */
  Outcome run(
      RecordStore store, String unit, String batch, BenchClock clock, @Nullable Terminal terminal)
      throws IOException {
    BenchLock lock =
        BenchLock.take(
            LockFolders.ofThisMachine(told -> System.err.println("kitproof: " + told)),
            BenchClaims.of(prepared, drivers));
    try (lock) {
      return locked(store, unit, batch, clock, terminal);
    }
  }

  private Outcome locked(
      RecordStore store, String unit, String batch, BenchClock clock, @Nullable Terminal terminal)
      throws IOException {
    over = false;
    String name = RunName.of(clock.now(), unit);
    Trial marked = trial;
    List<History.Attempt> before =
        marked == null ? History.of(store.folder(), prepared.plan().product(), unit) : List.of();
    Journal journal = store.begin(name, clock::now);
    Verdict verdict;
    Path document;
    RunConsole console = null;
    Latest latest = new Latest(System::nanoTime);
    Thread watching = null;
    try (journal) {
      if (terminal != null) {
        console =
            new RunConsole(
                store.follow(journal.file()),
                terminal.out(),
                terminal.words(),
                terminal.terminal(),
                clock::now,
                conversation,
                marked == null ? "" : marked.mark.label(),
                () -> {
                  var unused = stop("the terminal is gone", StopReach.STEPS);
                });
        shown.set(console);
      }
      if (onlooker != null) {
        watching = onlooker.watch(store.follow(journal.file()), latest, clock::now);
      }
      Sequencer sequencer =
          new Sequencer(
              new RunRequest(
                  name,
                  unit,
                  batch,
                  prepared.plan(),
                  prepared.bench(),
                  prepared.limits(),
                  prepared.digests(),
                  drivers.byId(),
                  marked == null ? journal : event -> marked(journal, event, marked.mark),
                  clock,
                  System::nanoTime,
                  Deadlines.USUAL,
                  retest(before),
                  latest,
                  HEAT,
                  shelf(store, name),
                  marked == null ? Handling.UNTOLD : marked.handling,
                  prepared.references()));
      running.set(sequencer);
      timing.set(sequencer.timing());
      String early = stopped.get();
      if (early != null) { // asked before there was a sequencer to ask
        var unused = sequencer.stop(early);
      }
      verdict = sequencer.run();
      // The journal has it all by now; a pass is told only once the document is durable as well.
      document = RecordDocument.write(store, journal.file());
    } finally {
      over = true;
      running.set(null);
      if (console != null) {
        console.close();
      }
      if (watching != null) {
        join(watching);
      }
    }
    RunRecord record = RecordDocument.read(document);
    var unused =
        StationGate.after(
            prepared.bench(), record, marked == null ? store.folder() : marked.records);
    return new Outcome(
        unit,
        verdict,
        record.reason(),
        record.failed(),
        causes(record),
        name,
        document,
        StationGate.told(record));
  }

  /** The mark stands in the record right after the start. */
  private static Entry marked(EventSink journal, Event event, Event.GaugeTrial mark)
      throws IOException {
    Entry entry = journal.append(event);
    if (event instanceof Event.RunStarted) {
      journal.append(mark);
    }
    return entry;
  }

  private CaptureShelf shelf(RecordStore store, String run) {
    KeptCaptures which = prepared.plan().captures();
    return which.keep() == KeepCaptures.NONE
        ? CaptureShelf.NONE
        : new CaptureFolder(store.folder(), run, which, prepared.calibration());
  }

  private List<Suggestion> causes(RunRecord record) {
    return record.verdict() == Verdict.PASS
        ? List.of()
        : prepared
            .causes()
            .suggest(
                record.steps().stream()
                    .flatMap(step -> step.results().stream())
                    .map(result -> new Found(result.measurement(), result.judgement()))
                    .toList());
  }

  /** Who only watches is waited for, but not for long. */
  private static void join(Thread watching) {
    try {
      watching.join(PATIENCE.toMillis());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
