package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Alone;
import kitproof.peer.Mosquitto;
import kitproof.peer.SoundServer;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.Test;

/** Faults of what is around a run: its broker, a kill before it, other programs of the machine. */
@Alone
class StationFaultsIT extends FaultRows {
  private static final Set<Integer> AT_REST = Set.of();

  StationFaultsIT() {
    super(FaultTable.Section.STATION);
  }

  @Test
  void brokerGone() throws Exception {
    int number = 44;
    try (SerialBench bench = new SerialBench(own(number), "", Aftermath.SHORT_STEPS);
        Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start()) {
      bench.scene.broker(broker.port());
      try (Program program = bench.scene.start(unit(number))) {
        program.awaitPrinted("3/103  again 0");
        broker.kill();
        RunRecord record = bench.scene.ended(program, unit(number), Verdict.PASS);
        assertThat(record.notices()).allMatch(n -> n.startsWith("UNCALIBRATED"));
        assertThat(bench.slave.coilsOn()).isEmpty();
        assertThat(program.printed())
            .contains("note: not everything has reached the broker")
            .contains("the rest is published when the station starts again");
        table.put(
            number,
            "broker gone in the middle of a run, and it stays away",
            "pass: the unit is good and its record whole on the disk; what is to be published waits"
                + " there for the next start, and the operator is told",
            FaultTable.seen(record) + "; told: “not everything has reached the broker”");
      }
    }
  }

  @Test
  void secondStationThenKilled() throws Exception {
    int first = 45;
    int second = 46;
    try (SerialBench bench = new SerialBench(own(first), "", SerialBench.LONG_READING)) {
      bench.scene.broker(Aftermath.nobody());
      try (Program program = bench.startLongReading(unit(first))) {
        String said;
        try (Program other = bench.scene.start(unit(second))) {
          assertThat(other.exitCode()).as(other.printed()).isEqualTo(4);
          said = Aftermath.lastLine(other);
        }
        assertThat(said).contains("is in use by another run on this machine");
        assertThat(program.isAlive()).isTrue();
        assertThat(bench.slave.coilsOn()).containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);
        assertThat(journalsOf(bench.scene, unit(second))).isEmpty();
        table.put(
            second,
            "a second station on the same bench",
            "refused before it touches the bench, without a record; the first goes on",
            "exit code 4; the first still reads; “" + said + "”");
        program.kill();
      }
      assertThat(bench.slave.coilsOn())
          .as("a killed process cannot act")
          .containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);
      bench.scene.plan(
          "steps: [{step: cold, procedure: reading, wait: 1 s, meter: hv-meter, function: hv,"
              + " result: supply rise settled}]\n");
      bench.scene.limits("  - {result: supply rise settled, high: 400 V}\n");
      RunRecord next = bench.scene.run(unit(99), Verdict.PASS);
      assertThat(bench.slave.coilsOn()).isEmpty();
      assertThat(next.safeStates()).allMatch(state -> state.confirmed());
      table.put(
          first,
          "SIGKILL",
          "nothing can be done by then: the next start takes the mains off and ends the record",
          "relays left as they were; the next start found the bench's lock free and read the safe"
              + " state back; "
              + Aftermath.laterSeen(bench.scene.record(unit(first))));
    }
  }

  @Test
  void killedWithAWatchdogOnTheBoard() throws Exception {
    int number = 48;
    try (SerialBench bench = SerialBench.withWatchdog(own(number), SerialBench.LONG_READING)) {
      bench.scene.broker(Aftermath.nobody());
      try (Program program = bench.startLongReading(unit(number))) {
        assertThat(bench.slave.coilsOn()).containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);
        program.kill();
        Awaitility.await()
            .atMost(Duration.ofSeconds(30))
            .until(() -> bench.slave.coilsOn().isEmpty());
      }
      RunRecord record = Aftermath.recovered(bench.scene, unit(number));
      assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
      table.put(
          number,
          "SIGKILL, with a relay board whose own watchdog the bench file names",
          "the board takes the mains off by itself; the next start ends the record and calls the HV"
              + " rail unknown",
          "relays at rest without any program; " + Aftermath.laterSeen(record));
    }
  }

  @Test
  void secondStationOnTheSameAudioDevice() throws Exception {
    int first = 49;
    int second = 50;
    try (SoundServer server = SoundServer.start();
        SerialBench bench = new SerialBench(own(first), Roles.audio(), SerialBench.LONG_READING);
        SerialBench other = new SerialBench(own(second), Roles.audio(), SerialBench.LONG_READING)) {
      bench.scene.broker(Aftermath.nobody());
      other.scene.broker(Aftermath.nobody());
      try (Program program = bench.startLongReading(unit(first))) {
        String said;
        try (Program refused = other.scene.start(unit(second))) {
          assertThat(refused.exitCode()).as(refused.printed()).isEqualTo(4);
          said = Aftermath.lastLine(refused);
        }
        assertThat(said).contains("audio").contains("is in use by another run on this machine");
        assertThat(other.slave.history()).containsOnly(AT_REST);
        assertThat(journalsOf(other.scene, unit(second))).isEmpty();
        assertThat(program.isAlive()).isTrue();
        program.kill();
        try (Program next = other.startLongReading(unit(second))) {
          assertThat(next.isAlive()).as("a lock does not outlive its program").isTrue();
        }
        table.put(
            first,
            "a second station whose bench shares nothing but the audio device",
            "refused before it touches its bench, without a record; let in once the first is gone,"
                + " however it went",
            "exit code 4; no relay has moved; “" + said.replaceAll("\"[^\"]*\"", "\"…\"") + "”");
      }
    }
  }

  @Test
  void meterMissingAfterAKill() throws Exception {
    int number = 56;
    try (SerialBench bench = new SerialBench(own(number), "", SerialBench.LONG_READING)) {
      bench.scene.broker(Aftermath.nobody());
      try (Program program = bench.startLongReading(unit(number))) {
        program.kill();
      }
      assertThat(bench.slave.coilsOn()).containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);
      bench.meterCable.unplug();
      String said;
      try (Program next = bench.scene.inside().start(unit(98))) {
        assertThat(next.exitCode()).as(next.printed()).isEqualTo(4);
        String printed = next.printed();
        said =
            printed.lines().filter(line -> line.contains("was cut short. ")).findFirst().orElse("");
        assertThat(said)
            .as(printed)
            .contains(
                "SAFE STATE NOT CONFIRMED: hv-meter: ", "reat whatever is on the bench as live");
      }
      assertThat(bench.slave.coilsOn()).as("mains off all the same").isEmpty();
      RunRecord refused = bench.scene.record(unit(98));
      assertThat(refused.verdict()).isEqualTo(Verdict.ERROR);
      assertThat(refused.reason()).startsWith("hv-meter: ");
      assertThat(refused.steps()).allMatch(step -> step.results().isEmpty());
      table.put(
          number,
          "SIGKILL, and at the next start the meter is missing",
          "mains off all the same, told as not confirmed; the next run is an error before anything"
              + " is switched on",
          "exit code 4; relays at rest; “"
              + FaultTable.plain(said).replaceFirst("run \\S+ was", "run … was")
              + "”; of the killed run: "
              + Aftermath.laterSeen(bench.scene.record(unit(number))));
    }
  }

  private static List<Path> journalsOf(Scene scene, String unit) throws IOException {
    try (Stream<Path> files = Files.list(scene.records().resolve("journals"))) {
      return files.filter(file -> file.getFileName().toString().contains(unit)).toList();
    }
  }
}
