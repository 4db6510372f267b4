package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.time.Instant;
import kitproof.driver.SimulatedClock;
import kitproof.event.Verdict;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** An operator who stops early. */
class StopTest {
  @TempDir Path folder;

  @Test
  void aStopThatComesBeforeTheRunIsNotForgotten() throws Exception {
    Drivers drivers = DriverLoader.load(folder.resolve("none"));
    Prepared prepared =
        Prepared.read(Cli.example("plan.yaml"), Cli.example("bench-simulated.yaml"), drivers)
            .value();
    RecordStore store = new RecordStore(folder);
    UnitRun run = new UnitRun(prepared, drivers);
    assertThat(run.stop()).isEqualTo("stop: nothing is begun any more");
    UnitRun.Outcome outcome =
        run.run(
            store, "LN12-001", "", new SimulatedClock(Instant.parse("2026-11-25T10:15:00Z")), null);
    assertThat(outcome.verdict()).isEqualTo(Verdict.ABORTED);
    assertThat(outcome.reason()).startsWith("stopped by the operator");
    RunRecord record = store.fold(store.journalFile(outcome.run()));
    assertThat(record.steps()).allSatisfy(step -> assertThat(step.results()).isEmpty());
    StringWriter told = new StringWriter();
    run.stopAndSay(new PrintWriter(told));
    assertThat(told.toString().strip())
        .isEqualTo(
            "stop came too late: the run is over, the bench at rest, and the verdict stands");
  }
}
