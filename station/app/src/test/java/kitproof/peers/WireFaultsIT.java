package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.ModbusSlave;
import kitproof.peer.SoundServer;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Instruments that are lost in the middle of a run with the mains on. */
class WireFaultsIT {
  @TempDir private Path folder;

  @Test
  @DisplayName("A meter unplugged while it is read: mains goes off, the rail is called unknown")
  void meterUnplugged() throws Exception {
    try (SerialBench bench = new SerialBench(folder, "", SerialBench.LONG_READING);
        Program program = bench.startLongReading("LN12-003")) {
      bench.meterCable.unplug();

      RunRecord record = bench.scene.ended(program, "LN12-003", Verdict.ERROR);

      assertThat(record.reason()).startsWith("hv-meter: ");
      assertThat(record.steps().get(2).outcome()).isEqualTo(StepOutcome.ERROR);
      assertThat(record.steps().get(2).results()).isEmpty();
      assertThat(record.notices()).anyMatch(n -> n.startsWith("HV rail unknown: treat the unit"));
      assertThat(record.safeStates()).allMatch(Event.SafeState::confirmed);
      assertThat(bench.slave.history())
          .containsExactly(
              Set.of(), Set.of(Rail.MAINS), Set.of(Rail.MAINS, Rail.LIMITER_BYPASS), Set.of());
    }
  }

  @Test
  @DisplayName("A relay board that answers no more still obeys: all at rest, but not confirmed")
  void slaveSilent() throws Exception {
    String steps =
        """
          - {step: reading, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv, count: 40, every: 50 ms}
          - {step: next point, procedure: reading, conditions: {point: cathode}, meter: hv-meter, function: hv, result: bias}
        """;
    try (SerialBench bench = new SerialBench(folder, "", steps);
        Program program = bench.scene.start("LN12-004")) {
      bench.awaitRelay(program, Rail.LIMITER_BYPASS);
      bench.slave.failAlways(ModbusSlave.Fault.SILENT);

      RunRecord record = bench.scene.ended(program, "LN12-004", Verdict.ERROR);

      assertThat(record.reason()).startsWith("relays: ");
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

  @Test
  @DisplayName(
      "A sound server killed during an exchange: drive and mains go off, no figure is told")
  void soundServerKilled() throws Exception {
    String steps =
        "  - {step: distortion, procedure: distortion, mains: direct,"
            + " conditions: {channel: left, tap: 8 ohm}, power: 0.5 W, listen: 5 s}\n";
    try (SoundServer server = SoundServer.start();
        SerialBench bench = new SerialBench(folder, Roles.audio(), steps)) {
      server.insert("amp", "amp_mono", 0.1);
      try (Program program = bench.scene.start("LN12-006")) {
        bench.awaitRelay(program, Rail.DRIVE_LEFT);
        server.kill();

        RunRecord record = bench.scene.ended(program, "LN12-006", Verdict.ERROR);

        assertThat(record.reason()).startsWith("audio: ");
        assertThat(record.steps().get(1).outcome()).isEqualTo(StepOutcome.ERROR);
        assertThat(record.steps().get(1).results()).isEmpty();
        assertThat(record.safeStates()).allMatch(Event.SafeState::confirmed);
        assertThat(Results.value(record, "discharge time to safe")).isNotNegative();
        assertThat(bench.slave.history())
            .contains(Set.of(Rail.MAINS, Rail.LIMITER_BYPASS, Rail.DRIVE_LEFT))
            .endsWith(Set.<Integer>of());
      }
    }
  }
}
