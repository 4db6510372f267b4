package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.peer.Alone;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Runs on a clock that does not stand still between readings, as real ones do not. */
@Timeout(120)
@Alone
class PacedRunIT {
  private static final Drivers DRIVERS = DriverLoader.load(Path.of("no-such-folder"));

  /** So fast only that a busy machine, or one that still loads classes, is in time to read. */
  private static final int PACE = 8;

  @TempDir Path folder;
  private UnitRun run;
  private RecordStore store;

  private void prepare(String wait) throws IOException {
    Files.writeString(
        folder.resolve("plan.yaml"),
        """
        plan: first power
        product: Linnet 12
        revision: B
        limits: limits.yaml
        steps:
          - step: first power
            procedure: supply-rise
            conditions: {lamps: 2}
            meter: hv-meter
            function: hv
            watch: 20 s
            on-fail: stop
          - step: long wait
            procedure: reading
            mains: direct
            wait: %s
            meter: hv-meter
            function: hv
            result: hv
        shut-down:
          - step: discharge
            procedure: discharge
            meter: hv-meter
            function: hv
            safe: 60 V
            give-up-after: 120 s
        """
            .formatted(wait));
    // The mask reaches to the very end of the time that is watched.
    Files.writeString(
        folder.resolve("limits.yaml"),
        """
        limits: first power
        product: Linnet 12
        revision: B
        rule: simple acceptance
        judge:
          - result: supply rise
            mask: [{at: 0 s, high: 420 V}, {at: 2 s, low: 30 V, high: 420 V}, {at: 20 s, low: 200 V, high: 420 V}]
        """);
    Prepared prepared =
        Prepared.read(folder.resolve("plan.yaml"), Cli.example("bench-simulated.yaml"), DRIVERS)
            .value();
    run = new UnitRun(prepared, DRIVERS);
    store = new RecordStore(folder.resolve("records"));
  }

  private RunRecord record(UnitRun.Outcome outcome) throws IOException {
    RunRecord record = RecordDocument.read(outcome.record());
    assertThat(record.safeStates()).isNotEmpty().allMatch(Event.SafeState::confirmed);
    return record;
  }

  @Test
  void theSupplyRiseIsWatchedToTheEndOfItsMask() throws IOException {
    prepare("25 s");
    RunRecord record = record(run.run(store, "LN12-001", "", new SystemBenchClock(PACE), null));
    assertThat(record.verdict()).as(record.reason()).isEqualTo(Verdict.PASS);
  }

  @Test
  void aRunThatIsStoppedEndsAsAbortedWithItsDischargeMeasured() throws Exception {
    prepare("400 s");
    CompletableFuture<UnitRun.Outcome> ended =
        CompletableFuture.supplyAsync(
            () -> {
              try {
                return run.run(store, "LN12-001", "", new SystemBenchClock(PACE), null);
              } catch (IOException e) {
                throw new AssertionError(e);
              }
            });
    // In the middle of the first step, or at its border: whenever it comes.
    TimeUnit.MILLISECONDS.sleep(3500);
    run.stop();
    RunRecord record = record(ended.get(100, TimeUnit.SECONDS));
    assertThat(record.verdict()).isEqualTo(Verdict.ABORTED);
    assertThat(record.reason()).contains("stopped by the operator");
    assertThat(record.steps().get(2).step()).isEqualTo("discharge");
    assertThat(record.steps().get(2).outcome()).isEqualTo(StepOutcome.PASSED);
  }
}
