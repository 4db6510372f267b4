package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Alone;
import kitproof.peer.ModbusSlave;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Interlocks in real time, on a meter that the steps read too, with relays on another line. */
@Alone
class InterlocksOnTheWireIT {
  private static final Duration WITHIN = Duration.ofSeconds(3);

  private static final String INTERLOCKED =
      SerialBench.LONG_READING
          + """
          interlocks:
            - {interlock: ripple, meter: hv-meter, function: ripple, high: 5 V, within: 3 s, every: 200 ms, mains: direct}
            - {interlock: HV rail, meter: hv-meter, function: hv, high: 400 V, within: 3 s}
          """;

  @TempDir private Path folder;

  private SerialBench bench() throws Exception {
    return SerialBench.withRipple(folder, INTERLOCKED);
  }

  /** From the value out of band to the relay that lets go of the mains. */
  private static Duration mainsOffAfterRipple(SerialBench bench) {
    long began = System.nanoTime();
    bench.meter.value("VOLT:AC", 9);
    await()
        .atMost(WITHIN)
        .pollInterval(Duration.ofMillis(5))
        .until(() -> !bench.slave.coilsOn().contains(Rail.MAINS));
    return Duration.ofNanos(System.nanoTime() - began);
  }

  @Test
  @DisplayName("A value out of band takes the mains away on the wire in time, the run is aborted")
  void outOfBand() throws Exception {
    try (SerialBench bench = bench();
        Program program = bench.startLongReading("LN12-003")) {
      Duration took = mainsOffAfterRipple(bench);

      RunRecord record = bench.scene.ended(program, "LN12-003", Verdict.ABORTED);

      assertThat(took).isLessThan(WITHIN);
      Event.InterlockTripped trip = record.trips().get(0);
      assertThat(trip.interlock()).isEqualTo("ripple");
      assertThat(trip.reason()).isEqualTo("hv-meter ripple 9 V is above 5 V");
      assertThat(trip.reaction()).isLessThan(WITHIN);
      assertThat(record.steps().get(2).outcome()).isEqualTo(StepOutcome.ABORTED);
      assertThat(record.safeStates()).allMatch(Event.SafeState::confirmed);
      assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.YES);
      assertThat(Results.value(record, "discharge time to safe")).isNotNegative();
      assertThat(bench.slave.history())
          .containsExactly(
              Set.of(), Set.of(Rail.MAINS), Set.of(Rail.MAINS, Rail.LIMITER_BYPASS), Set.of());
    }
  }

  @Test
  @DisplayName("A reply lost in the moment of a trip: mains goes later by its timeout, in time")
  void outOfBandWhileAReplyIsLost() throws Exception {
    Duration timeout = Duration.ofSeconds(1);
    try (SerialBench bench =
            SerialBench.withRipple(folder, INTERLOCKED, ", timeout: 1 s").inside();
        Program program = bench.startLongReading("LN12-005")) {
      bench.slave.failNextWrite(ModbusSlave.Fault.SILENT); // the command that mutes
      Duration took = mainsOffAfterRipple(bench);

      RunRecord record = bench.scene.ended(program, "LN12-005", Verdict.ABORTED);

      assertThat(took).isBetween(timeout, WITHIN);
      assertThat(record.trips().get(0).reason()).isEqualTo("hv-meter ripple 9 V is above 5 V");
      assertThat(record.notices())
          .filteredOn(notice -> notice.startsWith("relays: "))
          .singleElement()
          .asString()
          .contains("write multiple coils")
          .endsWith("; asked again, and answered");
      assertThat(record.safeStates()).allMatch(Event.SafeState::confirmed);
      assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.YES);
    }
  }

  @Test
  @DisplayName("A meter unplugged under an interlock: mains goes, the unit is not called safe")
  void meterUnplugged() throws Exception {
    try (SerialBench bench = bench();
        Program program = bench.startLongReading("LN12-004")) {
      bench.meterCable.unplug();

      RunRecord record = bench.scene.ended(program, "LN12-004", Verdict.ERROR);

      assertThat(record.reason()).contains("hv-meter");
      assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
      assertThat(bench.slave.coilsOn()).isEmpty();
    }
  }
}
