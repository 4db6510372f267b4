package kitproof.cli;

import java.time.Instant;
import kitproof.driver.BenchClock;
import kitproof.driver.SimulatedClock;
import kitproof.plan.Bench;
import kitproof.plan.TimeKind;

/** The time that a bench's runs go by where nobody follows them at a pace. */
final class BenchClocks {
  private BenchClocks() {}

  /** A simulated bench's own time, which begins now and waits for nothing, or real time. */
  static BenchClock of(Bench bench) {
    return bench.time() == TimeKind.SIMULATED
        ? new SimulatedClock(Instant.now())
        : new SystemBenchClock(1);
  }
}
