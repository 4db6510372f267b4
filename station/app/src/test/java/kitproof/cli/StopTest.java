package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Instant;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import kitproof.driver.SimulatedClock;
import kitproof.event.Verdict;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sun.misc.Signal;

/** An operator who stops early, and a terminal that goes away. */
class StopTest {
  @TempDir Path folder;

  @Test
  void aStopThatComesBeforeTheRunIsNotForgotten() throws Exception {
    Drivers drivers = DriverLoader.load(folder.resolve("none"));
    Prepared prepared =
        Prepared.read(Cli.example("plan.yaml"), Cli.example("bench-simulated.yaml"), drivers)
            .value();
    RecordStore store = new RecordStore(folder);
    UnitRun run = new UnitRun(prepared, drivers, store);
    run.stop();
    UnitRun.Outcome outcome =
        run.run("LN12-001", "", new SimulatedClock(Instant.parse("2026-11-25T10:15:00Z")), null);
    assertThat(outcome.verdict()).isEqualTo(Verdict.ABORTED);
    assertThat(outcome.reason()).startsWith("stopped by the operator");
    RunRecord record = store.fold(store.journalFile(outcome.run()));
    assertThat(record.steps()).allSatisfy(step -> assertThat(step.results()).isEmpty());
  }

  /** With the terminal's window closed the mains must not stay on. */
  @ParameterizedTest
  @ValueSource(strings = {"INT", "TERM", "HUP"})
  void aSignalThatWouldEndTheProgramIsACallInstead(String name) throws Exception {
    CountDownLatch called = new CountDownLatch(1);
    Signals.handle(called::countDown);
    Signal.raise(new Signal(name));
    assertThat(called.await(30, TimeUnit.SECONDS)).isTrue();
  }
}
