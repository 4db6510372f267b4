package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import kitproof.batch.RecordFolder;
import kitproof.console.Conversation;
import kitproof.driver.BenchClock;
import kitproof.driver.Handling;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.gauge.Study;
import kitproof.gauge.StudyFolder;
import kitproof.gauge.Trialled;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.journal.RunRecord;
import kitproof.plan.Plan;
import kitproof.plugin.Drivers;
import org.jspecify.annotations.Nullable;

/**
 * Does the trials of a study that have not been done, one ordinary run each, in the drawn order.
 *
 * <p>What is done stands in the records only. A trial that was broken off, by the operator, the
 * station or the end of the program, is done again the next time.
 */
final class GaugeTrials {
  private final Study study;
  private final StudyFolder folder;
  private final Prepared prepared;
  private final Drivers drivers;
  private final @Nullable Conversation conversation;
  private final @Nullable Terminal terminal;
  private final PrintWriter notes;
  private volatile @Nullable UnitRun running;
  private volatile boolean stopped;

  /**
   * Of a study.
   *
   * @param conversation with the person who answers prompts on the terminal, or null
   * @param terminal where runs are shown, or null
   * @param notes where to tell how it goes
   */
  GaugeTrials(
      Study study,
      StudyFolder folder,
      Prepared prepared,
      Drivers drivers,
      @Nullable Conversation conversation,
      @Nullable Terminal terminal,
      PrintWriter notes) {
    this.study = study;
    this.folder = folder;
    this.prepared = prepared;
    this.drivers = drivers;
    this.conversation = conversation;
    this.terminal = terminal;
    this.notes = notes;
  }

  /** Asks the run to stop, and begins no other. */
  void stop(PrintWriter otherwise) {
    stopped = true;
    UnitRun now = running;
    if (now != null) {
      now.stopAndSay(otherwise);
    }
  }

  /**
   * Goes on with the study.
   *
   * @param most how many trials to do now
   * @return the verdict of a run that broke it off; empty if none did
   * @throws IOException if a record could not be written
   */
  Optional<Verdict> goOn(int most) throws IOException {
    RecordStore store = new RecordStore(folder.folder());
    BenchClock real = new SystemBenchClock(1);
    for (Recovery.Recovered recovered : Recovery.run(store, real::now)) {
      notes.println("note: " + recovered);
    }
    BenchClock clock = BenchClocks.of(prepared.bench());
    Set<Integer> before =
        Trialled.numbers(Trialled.of(study, new RecordFolder(folder.folder()).runs().runs()));
    List<Study.Trial> left =
        study.order().stream().filter(trial -> !before.contains(trial.number())).toList();
    for (int i = 0; i < Math.min(most, left.size()) && !stopped; i++) {
      Study.Trial trial = left.get(i);
      if (terminal != null
          && terminal.person()
          && GaugePrompt.operator(prepared.bench()).isEmpty()
          && study.connectsAnew(trial)
          && !GaugePrompt.onTerminal(study, trial)) {
        return Optional.of(Verdict.ABORTED);
      }
      UnitRun run = run(trial);
      running = run;
      UnitRun.Outcome outcome = run.run(store, trial.unit(), "", clock, terminal);
      running = null;
      told(trial, outcome);
      boolean discharged = isDischarged(RecordDocument.read(outcome.record()));
      if (!discharged) {
        notes.println(
            "the study stops: unit "
                + study.called(trial.unit())
                + " is not shown to be discharged. Treat it as live, measure its HV rail by hand,"
                + " then give the same command again");
        notes.flush();
      }
      if (outcome.verdict() != Verdict.PASS && outcome.verdict() != Verdict.FAIL) {
        return Optional.of(outcome.verdict());
      }
      if (!discharged) {
        return Optional.of(Verdict.ABORTED);
      }
    }
    return stopped ? Optional.of(Verdict.ABORTED) : Optional.empty();
  }

  /** Nobody is asked to take off a unit of which a run said anything else in the end. */
  static boolean isDischarged(RunRecord record) {
    return record.safeToOpen() == SafeToOpen.YES
        || record.events().stream().noneMatch(e -> e.event() instanceof Event.OpeningTold);
  }

  private UnitRun run(Study.Trial trial) {
    Plan plan = GaugePrompt.before(prepared.plan(), prepared.bench(), study, trial);
    Prepared own = prepared.by(plan);
    boolean reload = study.by() == Study.By.RELOAD;
    String number = "trial " + trial.number();
    Handling handling =
        new Handling(
            reload ? "" : trial.appraiser(),
            reload ? trial.appraiser() : number,
            study.name() + "/" + number);
    return new UnitRun(own, drivers, conversation, null)
        .as(new UnitRun.Trial(study.mark(trial), handling, folder.records()));
  }

  private void told(Study.Trial trial, UnitRun.Outcome outcome) {
    String what =
        "trial "
            + trial.number()
            + " of "
            + study.order().size()
            + ", "
            + trial.appraiser()
            + ", unit "
            + study.called(trial.unit())
            + ", repeat "
            + trial.repeat()
            + ": ";
    boolean whole = outcome.verdict() == Verdict.PASS || outcome.verdict() == Verdict.FAIL;
    notes.println(what + (whole ? "done" : outcome.verdict() + ", " + outcome.reason()));
    notes.flush();
  }
}
