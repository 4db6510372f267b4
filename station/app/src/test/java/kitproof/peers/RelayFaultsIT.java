package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Alone;
import kitproof.peer.ModbusSlave;
import kitproof.peer.SoundServer;
import org.junit.jupiter.api.Test;

/** Faults of the relay board. */
@Alone
class RelayFaultsIT extends FaultRows {
  /** Two seconds of readings at full mains. */
  static final String SOME_READINGS =
      """
        - {step: HV rail, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv}
        - {step: long reading, procedure: reading, meter: hv-meter, function: hv, result: hv soak, count: 40, every: 50 ms}
      """;

  RelayFaultsIT() {
    super(FaultTable.Section.RELAYS);
  }

  /** A step that wants the 4 ohm tap comes two seconds after it is called. */
  private static SerialBench beforeAnotherTap(Path own) throws Exception {
    return new SerialBench(
        own,
        "",
        SOME_READINGS
            + "  - {step: next tap, procedure: reading, conditions: {channel: left, tap: 4 ohm},"
            + " meter: hv-meter, function: hv, result: hv}\n");
  }

  private static SerialBench impatient(Path own) throws Exception {
    return SerialBench.impatientWithRelays(own, SerialBench.LONG_READING);
  }

  @Test
  void relayRefusesACoil() throws Exception {
    wire(
        14,
        "relay board refuses a coil (exception reply)",
        "error, mains off, discharge watched; not confirmed, as the load's relay cannot be released",
        Verdict.ERROR,
        RelayFaultsIT::beforeAnotherTap,
        (bench, program) -> bench.slave.refuse(Rail.LEFT_4_OHM));
  }

  @Test
  void relayThatDidNotMove() throws Exception {
    RunRecord record =
        wire(
            15,
            "relay that did not move: the load's stays open",
            ERROR,
            Verdict.ERROR,
            RelayFaultsIT::beforeAnotherTap,
            (bench, program) -> bench.slave.stick(Rail.LEFT_4_OHM, false));
    assertThat(record.reason()).contains("K5 did not close");
  }

  @Test
  void mainsRelayStuck() throws Exception {
    RunRecord record =
        signalled(
            16,
            "mains relay welded shut, then a stop",
            NOT_CONFIRMED,
            Verdict.ERROR,
            (bench, program) -> {
              bench.slave.stick(Rail.MAINS, true);
              program.signal("INT");
            });
    assertThat(record.safeStates().get(record.safeStates().size() - 1).confirmed()).isFalse();
  }

  @Test
  void relayBoardStartedAnew() throws Exception {
    RunRecord record =
        wire(
            33,
            "relay board started anew in the middle of a step: it has let go of its relays",
            "error, mains off: what was read in that step does not count",
            Verdict.ERROR,
            (bench, program) -> bench.slave.letGo());
    assertThat(record.reason()).contains("moved without a command");
    assertThat(record.steps().get(2).results()).isEmpty();
  }

  @Test
  void relayBoardLost() throws Exception {
    int number = 51;
    String fault = "relay board unplugged in the middle of a long step, and nobody stops";
    try (SerialBench bench = new SerialBench(own(number), "", SerialBench.LONG_READING).inside();
        Program program = bench.startLongReading(unit(number))) {
      bench.relayCable.unplug();
      RunRecord record = bench.scene.ended(program, unit(number), Verdict.ERROR);
      // the step would take five minutes; it is to be noticed in four seconds
      assertThat(record.steps().get(2).took()).as(fault).isLessThan(Duration.ofSeconds(60));
      assertThat(record.steps().get(2).results()).as(fault).isEmpty();
      assertThat(record.trips()).as(fault).hasSize(1);
      assertThat(record.trips().get(0).interlock()).isEqualTo("answers of relays");
      assertThat(program.printed()).contains("SAFE STATE NOT CONFIRMED", "emergency stop");
      table.put(
          number,
          fault,
          "error in four seconds, not confirmed: the operator is told to use the emergency stop",
          seen(record).replaceFirst("tripped: relays: .*”", "tripped: relays: …”"));
    }
  }

  @Test
  void driveRelayWelded() throws Exception {
    int number = 52;
    String fault = "drive relay welded shut, when another load is wanted next";
    String distortion =
        "  - {step: distortion, procedure: distortion, %sconditions: {channel: left, tap: %s ohm},"
            + " power: 0.5 W}\n";
    String steps = distortion.formatted("mains: direct, ", "8") + distortion.formatted("", "4");
    try (SoundServer server = SoundServer.start();
        SerialBench bench = new SerialBench(own(number), Roles.audio(), steps).inside()) {
      server.insert("amp", "amp_mono", 0.1);
      try (Program program = bench.scene.start(unit(number))) {
        bench.awaitRelay(program, Rail.DRIVE_LEFT);
        bench.slave.stick(Rail.DRIVE_LEFT, true);
        RunRecord record = bench.scene.ended(program, unit(number), Verdict.ERROR);
        assertThat(record.reason()).as(fault).contains("K3 did not open");
        assertThat(bench.slave.history())
            .as("no load moves under the drive")
            .noneMatch(on -> on.contains(Rail.LEFT_4_OHM));
        assertThat(bench.slave.coilsOn()).containsExactly(Rail.DRIVE_LEFT);
        assertThat(Results.value(record, "discharge time to safe")).as(fault).isPositive();
        assertThat(record.safeToOpen()).as(fault).isEqualTo(SafeToOpen.YES);
        table.put(
            number,
            fault,
            "error, mains off, no load moves, discharge watched; not confirmed: the operator is told"
                + " to use the emergency stop",
            seen(record));
      }
    }
  }

  @Test
  void relayBoardUnplugged() throws Exception {
    RunRecord record =
        signalled(
            12,
            "relay board unplugged, then a stop",
            NOT_CONFIRMED,
            Verdict.ERROR,
            (bench, program) -> {
              bench.relayCable.unplug();
              program.signal("INT");
              var unused = program.exitCode();
              assertThat(program.printed())
                  .contains(
                      "stop: muting the drive and taking the mains off is commanded",
                      "SAFE STATE NOT CONFIRMED",
                      "emergency stop",
                      "Treat the unit as live");
              assertThat(bench.slave.coilsOn())
                  .as("no software reaches them: the bench's own emergency stop must")
                  .containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);
            });
    assertThat(record.reason()).contains("the safe state could not be confirmed");
  }

  @Test
  void relayBoardSilentAndAStop() throws Exception {
    signalled(
        13,
        "relay board obeys but answers no more, then a stop",
        "error, not confirmed; the relays are at rest all the same",
        Verdict.ERROR,
        RelayFaultsIT::impatient,
        (bench, program) -> {
          bench.slave.failAlways(ModbusSlave.Fault.SILENT);
          program.signal("INT");
          var unused = program.exitCode();
          assertThat(bench.slave.coilsOn()).isEmpty();
        });
  }

  @Test
  void relayBoardSilent() throws Exception {
    RunRecord record =
        wire(
            57,
            "relay board obeys but answers no more, and nobody stops",
            "error in four seconds, not confirmed; the relays are at rest all the same",
            Verdict.ERROR,
            RelayFaultsIT::impatient,
            (bench, program) -> {
              bench.slave.failAlways(ModbusSlave.Fault.SILENT);
              var unused = program.exitCode();
              assertThat(program.printed()).contains("SAFE STATE NOT CONFIRMED", "emergency stop");
              assertThat(bench.slave.coilsOn()).isEmpty();
            });
    // the step would take five minutes
    assertThat(record.steps().get(2).took()).isLessThan(Duration.ofSeconds(60));
    assertThat(record.steps().get(2).results()).isEmpty();
    assertThat(record.safeStates().get(0).confirmed()).isTrue();
    assertThat(record.safeStates().subList(1, record.safeStates().size()))
        .isNotEmpty()
        .noneMatch(Event.SafeState::confirmed);
  }

  @Test
  void oneReplyLost() throws Exception {
    int number = 53;
    String fault = "relay board's reply lost once";
    String unit = unit(number);
    try (SerialBench bench = new SerialBench(own(number), "", SOME_READINGS).inside();
        Program program = bench.startLongReading(unit)) {
      bench.slave.failOnce(ModbusSlave.Fault.SILENT, 0);
      RunRecord record = bench.scene.ended(program, unit, Verdict.PASS);
      List<String> told =
          record.notices().stream().filter(notice -> notice.startsWith("relays: ")).toList();
      assertThat(told).as(fault).hasSize(1);
      assertThat(told.get(0)).endsWith("; asked again, and answered");
      assertThat(program.printed()).contains(told.get(0));
      assertThat(bench.slave.coilsOn()).as(fault).isEmpty();
      table.put(
          number,
          fault,
          "pass: it is asked for again, and told",
          seen(record) + "; told: “" + FaultTable.plain(told.get(0)) + "”");
    }
  }

  @Test
  void twoRepliesLost() throws Exception {
    RunRecord record =
        wire(
            54,
            "relay board's reply lost, and lost again when it is asked for once more",
            ERROR,
            Verdict.ERROR,
            (bench, program) -> bench.slave.failTimes(ModbusSlave.Fault.SILENT, 2));
    assertThat(record.reason()).contains("asked twice");
    assertThat(record.steps().get(2).results()).isEmpty();
    assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.YES);
  }
}
