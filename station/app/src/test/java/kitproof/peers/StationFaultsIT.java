package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import kitproof.console.RunConsole;
import kitproof.console.Words;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.journal.RunRecord;
import kitproof.peer.Mosquitto;
import kitproof.peer.SoundServer;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.Test;

/** Faults of the computer: its disk, its memory, who looks on, its broker, its other programs. */
class StationFaultsIT extends FaultRows {
  private static final Set<Integer> AT_REST = Set.of();

  /** A second and a half of short steps at full mains, each of which is journalled. */
  private static final String SHORT_STEPS = shortSteps();

  StationFaultsIT() {
    super(FaultTable.Section.STATION);
  }

  private static String shortSteps() {
    StringBuilder steps =
        new StringBuilder(
            "  - {step: HV rail, procedure: reading, mains: direct, meter: hv-meter, function: hv,"
                + " result: hv}\n");
    for (int i = 0; i < 100; i++) {
      steps.append(
          "  - {step: again %d, procedure: reading, meter: hv-meter, function: hv, result: hv %d, count: 2, every: 10 ms}%n"
              .formatted(i, i));
    }
    return steps.toString();
  }

  /** A port of this machine on which nobody listens. */
  private static int nobody() throws IOException {
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return taken.getLocalPort();
    }
  }

  /** What the program said last. */
  private static String lastLine(Program program) throws IOException {
    String printed = program.printed();
    String last = printed.strip().lines().reduce((a, b) -> b).orElse("");
    assertThat(last).as(printed).startsWith("kitproof: ");
    return FaultTable.plain(last);
  }

  @Test
  void recordsReadOnly() throws Exception {
    int number = 40;
    Path own = own(number);
    try (SerialBench bench = new SerialBench(own, "", SerialBench.LONG_READING);
        Tmpfs disk = Tmpfs.on(bench.scene.records(), 1)) {
      bench.scene.broker(nobody());
      Files.createDirectory(bench.scene.records().resolve("journals"));
      disk.readOnly();
      try (Program program = bench.scene.start(unit(number))) {
        assertThat(program.exitCode()).as(program.printed()).isEqualTo(4);
        String said = lastLine(program);
        assertThat(said).contains("Read-only file system");
        assertThat(bench.slave.history()).as("nothing was ever energised").containsOnly(AT_REST);
        table.put(
            number,
            "records folder read-only (a file system mounted so)",
            "refused before a relay moves: what cannot be recorded is not begun, so there is no"
                + " record",
            "exit code 4; no relay has moved; “" + said + "”");
      }
    }
  }

  @Test
  void diskFullForGood() throws Exception {
    int number = 41;
    Path own = own(number);
    try (SerialBench bench = new SerialBench(own, "", SHORT_STEPS);
        Tmpfs disk = Tmpfs.on(bench.scene.records(), 16)) {
      bench.scene.broker(nobody());
      String said;
      Path filler;
      try (Program program = bench.scene.start(unit(number))) {
        program.awaitPrinted("3/103  again 0");
        filler = disk.fill();
        assertThat(program.exitCode()).as(program.printed()).isEqualTo(4);
        said = lastLine(program);
      }
      assertThat(said).contains("No space left on device", "treat the unit as live");
      assertThat(bench.slave.coilsOn()).isEmpty();
      assertThat(bench.slave.history()).contains(Set.of(Rail.MAINS, Rail.LIMITER_BYPASS));
      Files.delete(filler);
      RunRecord record = recovered(bench.scene, unit(number));
      assertThat(Results.value(record, "hv")).isPositive();
      table.put(
          number,
          "disk full while the journal is written, and for good (a real small disk)",
          "error, mains off, HV called unknown; the next start, with room again, ends the record",
          "exit code 4; relays at rest; “" + said + "”; " + laterSeen(record));
    }
  }

  /** What the next start makes of the run that was left without its end. */
  private static RunRecord recovered(Scene scene, String unit) throws IOException {
    assertThat(Recovery.run(new RecordStore(scene.records()), Instant::now))
        .hasSize(1)
        .allMatch(done -> done.action() != Recovery.Action.FAILED);
    return scene.record(unit);
  }

  private static String laterSeen(RunRecord record) {
    assertThat(record.verdict()).isEqualTo(Verdict.ABORTED);
    assertThat(record.reason()).isEqualTo(Recovery.REASON);
    FaultTable.complete(record);
    return "its record then: aborted, “" + record.reason() + "”";
  }

  private static PrintStream stream(Runnable atEachByte) {
    return new PrintStream(
        new OutputStream() {
          @Override
          public void write(int b) {
            atEachByte.run();
          }
        },
        true,
        StandardCharsets.UTF_8);
  }

  @Test
  void listenerThrows() throws Exception {
    onlooker(
        42,
        "a listener that throws (the console; no other is tried)",
        () -> {
          throw new IllegalStateException("a mistake in the listener");
        });
  }

  @Test
  void listenerBlocks() throws Exception {
    CountDownLatch release = new CountDownLatch(1);
    try {
      onlooker(
          43,
          "a listener that blocks for ever (the console; no other is tried)",
          () -> awaitUninterruptibly(release));
      assertThat(release.getCount()).as("still blocked when the run is over").isEqualTo(1);
    } finally {
      release.countDown();
    }
  }

  /** The console does this at the first thing it prints, while the run is in its first half. */
  private void onlooker(int number, String fault, Runnable misdeed) throws Exception {
    CountDownLatch printed = new CountDownLatch(1);
    PrintStream out =
        stream(
            () -> {
              printed.countDown();
              misdeed.run();
            });
    fake(
        number,
        fault,
        "pass: a run waits for nobody who looks on, and what it measured and recorded is whole",
        Verdict.PASS,
        bench -> {
          bench.watchedBy =
              (store, journal) -> {
                var unused =
                    new RunConsole(
                        store.follow(journal),
                        out,
                        new Words(false),
                        false,
                        Instant::now,
                        null,
                        () -> {});
              };
          bench.before =
              (role, method) -> {
                if (method.equals("exchange")) {
                  assertThat(printed.await(4, TimeUnit.SECONDS)).as("the console printed").isTrue();
                }
              };
        });
  }

  private static void awaitUninterruptibly(CountDownLatch latch) {
    try {
      latch.await();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Test
  void brokerGone() throws Exception {
    int number = 44;
    try (SerialBench bench = new SerialBench(own(number), "", SHORT_STEPS);
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
      bench.scene.broker(nobody());
      try (Program program = bench.startLongReading(unit(first))) {
        String said;
        try (Program other = bench.scene.start(unit(second))) {
          assertThat(other.exitCode()).as(other.printed()).isEqualTo(4);
          said = lastLine(other);
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
              + laterSeen(bench.scene.record(unit(first))));
    }
  }

  @Test
  void killedWithAWatchdogOnTheBoard() throws Exception {
    int number = 48;
    try (SerialBench bench = SerialBench.withWatchdog(own(number), SerialBench.LONG_READING)) {
      bench.scene.broker(nobody());
      try (Program program = bench.startLongReading(unit(number))) {
        assertThat(bench.slave.coilsOn()).containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);
        program.kill();
        Awaitility.await()
            .atMost(Duration.ofSeconds(30))
            .until(() -> bench.slave.coilsOn().isEmpty());
      }
      RunRecord record = recovered(bench.scene, unit(number));
      assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
      table.put(
          number,
          "SIGKILL, with a relay board whose own watchdog the bench file names",
          "the board takes the mains off by itself; the next start ends the record and calls the HV"
              + " rail unknown",
          "relays at rest without any program; " + laterSeen(record));
    }
  }

  @Test
  void secondStationOnTheSameAudioDevice() throws Exception {
    int first = 49;
    int second = 50;
    try (SoundServer server = SoundServer.start();
        SerialBench bench = new SerialBench(own(first), Roles.audio(), SerialBench.LONG_READING);
        SerialBench other = new SerialBench(own(second), Roles.audio(), SerialBench.LONG_READING)) {
      bench.scene.broker(nobody());
      other.scene.broker(nobody());
      try (Program program = bench.startLongReading(unit(first))) {
        String said;
        try (Program refused = other.scene.start(unit(second))) {
          assertThat(refused.exitCode()).as(refused.printed()).isEqualTo(4);
          said = lastLine(refused);
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

  private static List<Path> journalsOf(Scene scene, String unit) throws IOException {
    try (Stream<Path> files = Files.list(scene.records().resolve("journals"))) {
      return files.filter(file -> file.getFileName().toString().contains(unit)).toList();
    }
  }

  @Test
  void outOfMemoryInAnalysis() throws Exception {
    String fault = "out of memory in the analysis of a capture (the heap really is)";
    RunRecord record = fake(47, fault, ERROR, Verdict.ERROR, bench -> bench.plan = Starving::gain);
    table.put(47, fault, ERROR, FaultTable.seen(record)); // only the instruments are fakes
  }
}
