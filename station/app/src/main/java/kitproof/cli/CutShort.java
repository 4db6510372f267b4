package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import kitproof.document.Parsed;
import kitproof.driver.BenchClock;
import kitproof.event.Event;
import kitproof.gauge.StudyFolder;
import kitproof.journal.BenchLock;
import kitproof.journal.LockFolders;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plugin.Drivers;
import kitproof.run.Deadlines;
import kitproof.run.Preflight;
import kitproof.run.SafeStart;

/**
 * What a program that was killed may have left: a bench with its mains on. It is made safe before
 * anything is asked of a person or refused, as both may take as long as they like.
 */
final class CutShort {
  private static final String UNKNOWN =
      "Treat whatever is on the bench as live until its HV rail has been measured.";

  private CutShort() {}

  /**
   * Makes the bench safe if the records, or those of a gauge study among them, name a run without
   * an end, and says what came of it; returns at once if they do not. What is wrong with the bench
   * file is told by who needs it for more.
   */
  static void makeSafe(Path records, Path benchFile, Drivers drivers, PrintWriter notes)
      throws InterruptedException {
    String before = cutShort(records);
    if (before.isEmpty()) {
      return;
    }
    Parsed<Bench> bench =
        BenchReader.read(benchFile).checked(read -> Preflight.bench(read, drivers.byId()));
    Came came =
        bench.isSound()
            ? safeStart(
                bench.value(),
                drivers,
                BenchClocks.of(bench.value()),
                told -> notes.println("note: " + told),
                "read back before anything else")
            : new Came(
                "SAFE STATE NOT COMMANDED: the bench file cannot be used. " + UNKNOWN, false);
    notes.println("note: " + before + ". " + came.told());
    if (came.confirmed()) {
      endTrials(records, notes);
    }
    notes.flush();
  }

  /**
   * Ordinary runs are ended by the next one; a study may never go on. As long as the safe state is
   * not confirmed its trial stays open, so that it is commanded before the next command too.
   */
  private static void endTrials(Path records, PrintWriter notes) {
    try {
      for (Path study : StudyFolder.folders(records)) {
        Recovery.run(new RecordStore(study), Instant::now)
            .forEach(recovered -> notes.println("note: " + recovered));
      }
    } catch (IOException e) {
      notes.println("note: trials of gauge studies are not put in order: " + Main.message(e));
    }
  }

  /** Which run it was; empty if there was none. Where that cannot be told there may be one. */
  private static String cutShort(Path records) {
    try {
      List<String> runs = new ArrayList<>(Recovery.cutShort(records));
      for (Path study : StudyFolder.folders(records)) {
        runs.addAll(Recovery.cutShort(study));
      }
      return runs.isEmpty() ? "" : "run " + runs.get(runs.size() - 1) + " was cut short";
    } catch (IOException e) {
      return "whether a run was cut short cannot be told: " + Main.message(e);
    }
  }

  private static String besides(String detail) {
    return detail.isEmpty() ? "" : " Besides: " + detail + ".";
  }

  /**
   * What came of commanding the safe state.
   *
   * @param told for people
   * @param confirmed whether it was read back
   */
  record Came(String told, boolean confirmed) {}

  /**
   * Commands the safe state, with no other run on these instruments meanwhile.
   *
   * @param told what people should know of the locks of this machine
   * @param when how a good end is told
   */
  static Came safeStart(
      Bench bench, Drivers drivers, BenchClock clock, Consumer<String> told, String when)
      throws InterruptedException {
    try (BenchLock lock =
        BenchLock.take(LockFolders.ofThisMachine(told), BenchClaims.of(bench, drivers))) {
      Event.SafeState state =
          SafeStart.command(bench, drivers.byId(), clock, System::nanoTime, Deadlines.USUAL);
      return new Came(
          state.confirmed()
              ? "The bench is in its safe state, " + when + "." + besides(state.detail())
              : "SAFE STATE NOT CONFIRMED: " + state.detail() + ". " + UNKNOWN,
          state.confirmed());
    } catch (IOException e) {
      return new Came("SAFE STATE NOT COMMANDED: " + e.getMessage() + ". " + UNKNOWN, false);
    }
  }
}
