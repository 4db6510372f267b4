package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.ModbusSlave;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Relay boards that are lost in the middle of a run with the mains on. */
class WireFaultsIT {
  @TempDir private Path folder;

  @Test
  @DisplayName("A relay board that answers no more still obeys: all at rest, but not confirmed")
  void slaveSilent() throws Exception {
    try (SerialBench bench = new SerialBench(folder, "", SerialBench.LONG_READING);
        Program program = bench.startLongReading("LN12-004")) {
      bench.slave.failAlways(ModbusSlave.Fault.SILENT);

      RunRecord record = bench.scene.ended(program, "LN12-004", Verdict.ERROR);

      assertThat(record.reason()).startsWith("interlock \"answers of relays\" tripped: relays: ");
      assertThat(record.steps().get(2).took()).isLessThan(Duration.ofSeconds(60));
      assertThat(record.steps().get(2).results()).isEmpty();
      assertThat(record.safeStates().get(0).confirmed()).isTrue();
      assertThat(record.safeStates().subList(1, record.safeStates().size()))
          .isNotEmpty()
          .noneMatch(Event.SafeState::confirmed);
      assertThat(program.printed()).contains("SAFE STATE NOT CONFIRMED", "emergency stop");
      assertThat(bench.slave.coilsOn()).isEmpty();
    }
  }

  @Test
  @DisplayName("A relay board that is unplugged keeps its relays, and the operator is told so")
  void relaysUnplugged() throws Exception {
    try (SerialBench bench = new SerialBench(folder, "", SerialBench.LONG_READING);
        Program program = bench.startLongReading("LN12-005")) {
      bench.relayCable.unplug();
      program.signal("INT");

      RunRecord record = bench.scene.ended(program, "LN12-005", Verdict.ERROR);

      assertThat(record.reason()).contains("the safe state could not be confirmed");
      assertThat(program.printed())
          .contains(
              "stop: muting the drive and taking the mains off is commanded",
              "SAFE STATE NOT CONFIRMED",
              "emergency stop",
              "Treat the unit as live");
      assertThat(bench.slave.coilsOn())
          .as("no software reaches them: the bench's own emergency stop must")
          .containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);
    }
  }
}
