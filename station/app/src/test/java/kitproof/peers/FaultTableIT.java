package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicInteger;
import kitproof.driver.BenchClock;
import kitproof.driver.Capture;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.ModbusSlave;
import kitproof.peer.SoundServer;
import kitproof.run.Deadlines;
import kitproof.value.Signal;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Faults of relays, of audio, of drivers and of the clock, and signals. */
class FaultTableIT extends FaultRows {
  private static final Deadlines SHORT =
      new Deadlines(
          Duration.ofSeconds(5),
          Duration.ofMillis(700),
          Duration.ofMillis(700),
          Duration.ofSeconds(30));

  FaultTableIT() {
    super(FaultTable.Section.INSTRUMENTS);
  }

  /** A step that wants the 4 ohm tap comes two seconds after it is called. */
  private static SerialBench beforeAnotherTap(Path own) throws Exception {
    return new SerialBench(
        own,
        "",
        """
          - {step: HV rail, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv}
          - {step: long reading, procedure: reading, meter: hv-meter, function: hv, result: hv soak, count: 40, every: 50 ms}
          - {step: next tap, procedure: reading, conditions: {channel: left, tap: 4 ohm}, meter: hv-meter, function: hv, result: hv}
        """);
  }

  @Test
  void relayRefusesACoil() throws Exception {
    wire(
        14,
        "relay board refuses a coil (exception reply)",
        "error, mains off, discharge watched; not confirmed, as the load's relay cannot be released",
        Verdict.ERROR,
        FaultTableIT::beforeAnotherTap,
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
            FaultTableIT::beforeAnotherTap,
            (bench, program) -> bench.slave.stick(Rail.LEFT_4_OHM, false));
    assertThat(record.reason()).contains("K5 did not close");
  }

  @Test
  void mainsRelayStuck() throws Exception {
    RunRecord record =
        wire(
            16,
            "mains relay welded shut, then a stop",
            "error, not confirmed: the operator is told to use the emergency stop",
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
    try (SerialBench bench = new SerialBench(own(number), "", SerialBench.LONG_READING);
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
        SerialBench bench = new SerialBench(own(number), Roles.audio(), steps)) {
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
        table.put(
            number,
            fault,
            "error, mains off, no load moves; not confirmed: the operator is told to use the"
                + " emergency stop",
            seen(record));
      }
    }
  }

  @Test
  void railShortedInTheRise() throws Exception {
    int number = 29;
    String fault = "rail below its mask while it rises: a short behind the limiter";
    try (SerialBench bench = new SerialBench(own(number), "", SerialBench.LONG_READING)) {
      bench.scene.plan(
          """
          steps:
            - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 100 s, every: 100 ms, on-fail: stop}
            - {step: HV rail, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv}
          shut-down:
            - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 10 V, give-up-after: 30 s, every: 100 ms}
          """);
      bench.shortTheRail();
      try (Program program = bench.scene.start(unit(number))) {
        RunRecord record = bench.scene.ended(program, unit(number), Verdict.FAIL);
        RunRecord.Step rise = record.steps().get(0);
        assertThat(rise.took()).as(fault).isLessThan(Duration.ofSeconds(60));
        assertThat(record.reason()).as(fault).contains("supply rise at ", " is below 100 V");
        assertThat(record.steps().get(1).outcome()).isEqualTo(StepOutcome.SKIPPED);
        assertThat(record.safeStates()).as(fault).allMatch(Event.SafeState::confirmed);
        assertThat(bench.slave.history())
            .as("the limiter stays in")
            .containsExactly(Set.of(), Set.of(Rail.MAINS), Set.of());
        assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
        table.put(
            number,
            fault,
            "fail: mains off in the middle of the rise, the limiter never out; a rail that was dead"
                + " from the first reading is called unknown",
            seen(record)
                .replaceAll(
                    "at [0-9.]+ s -?[0-9.]+ m?V is below 100 V, worst by [0-9.]+ V",
                    "at … s … V is below 100 V, worst by … V"));
      }
    }
  }

  @Test
  void samplesLost() throws Exception {
    fake(
        18,
        "audio: samples lost in every capture",
        "error, mains off, discharge watched: no figure is made of it, and the unit is not blamed",
        Verdict.ERROR,
        bench -> bench.capture = c -> new Capture(c.signal(), c.clipped(), true));
  }

  /** A run with a sound server whose loop has this gain. */
  private void sound(
      int number, String fault, String expected, Verdict verdict, double gain, Sound happens)
      throws Exception {
    String steps =
        "  - {step: distortion, procedure: distortion, mains: direct,"
            + " conditions: {channel: left, tap: 8 ohm}, power: 0.5 W, listen: 5 s}\n";
    String unit = unit(number);
    try (SoundServer server = SoundServer.start();
        SerialBench bench = new SerialBench(own(number), Roles.audio(), steps)) {
      server.insert("amp", "amp_mono", gain);
      bench.scene.limits(SerialBench.RISE + "  - {result: thd, high: 5 %}\n");
      try (Program program = bench.scene.start(unit)) {
        bench.awaitRelay(program, Rail.DRIVE_LEFT);
        happens.at(server);
        RunRecord record = bench.scene.ended(program, unit, verdict);
        assertThat(record.safeStates()).as(fault).allMatch(Event.SafeState::confirmed);
        assertThat(bench.slave.history())
            .as(fault)
            .contains(Set.of(Rail.MAINS, Rail.LIMITER_BYPASS, Rail.DRIVE_LEFT))
            .endsWith(Set.<Integer>of());
        assertThat(Results.value(record, "discharge time to safe")).as(fault).isNotNegative();
        // Which call met a device first that is gone, and what it says of it, is a matter of
        // chance.
        String seen = seen(record).replaceFirst("“audio: [^”]*”", "“audio: …”");
        table.put(number, fault, expected, seen);
      }
    }
  }

  private interface Sound {
    void at(SoundServer server) throws Exception;
  }

  @Test
  void inputClipped() throws Exception {
    sound(
        19,
        "audio: input clipped in every capture",
        "fail: a step asks for no more than the input takes, so what is beyond comes from the unit;"
            + " no figure is made of it",
        Verdict.FAIL,
        1e7,
        server -> {});
  }

  @Test
  void wrongSampleRate() throws Exception {
    fake(
        20,
        "audio: the capture comes at another sample rate than the stimulus",
        "error, mains off, discharge watched: never a figure",
        Verdict.ERROR,
        bench ->
            bench.capture =
                c ->
                    new Capture(
                        Signal.of(44_100, c.signal().channel(0), c.signal().channel(1)),
                        c.clipped(),
                        c.lost()));
  }

  @Test
  void audioGone() throws Exception {
    sound(
        17,
        "audio device gone in the middle of a signal (the sound server is killed)",
        ERROR,
        Verdict.ERROR,
        0.1,
        SoundServer::kill);
  }

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '"',
      value = {
        "21, hv-meter, meter, \"error, mains off, HV called unknown\"",
        "26, relays, relay board, \"error, not confirmed: the operator is told to use the emergency stop\"",
        "27, audio, audio interface, \"error, mains off, discharge watched\"",
        "28, operator, person, \"error, mains off, discharge watched\""
      })
  void driverThatThrowsFromEveryMethod(int number, String role, String kind, String expected)
      throws Exception {
    fake(
        number,
        "driver that throws from every method once the mains is on (" + kind + ")",
        expected,
        Verdict.ERROR,
        bench -> {
          bench.more = FaultBench.TRIM;
          bench.before =
              (called, method) -> {
                if (called.equals(role) && bench.board.now().contains("K2")) {
                  throw new IllegalStateException("a mistake in the driver");
                }
              };
        });
  }

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '"',
      value = {
        "22, hv-meter, read, a reading, \"error within its deadline, mains off, HV called unknown\"",
        "34, hv-meter, recognise, the question who it is, \"error within its deadline, mains off, HV called unknown\"",
        "35, relays, set, a command to its relays, \"error, not confirmed: the operator is told to use the emergency stop\"",
        "36, relays, energised, a read-back of its relays, \"error, not confirmed: the operator is told to use the emergency stop\"",
        "37, audio, exchange, a signal, \"error within its deadline, mains off, discharge watched\"",
        "38, operator, ask, a question to the person, \"error within its deadline, mains off, discharge watched\"",
        "39, operator, answer, a look for an answer, \"error within its deadline, mains off, discharge watched\"",
        "30, operator, show, a value for the person, \"error within its deadline, mains off, discharge watched\""
      })
  void driverThatNeverReturns(int number, String role, String method, String from, String expected)
      throws Exception {
    CountDownLatch never = new CountDownLatch(1);
    try {
      fake(
          number,
          "driver that never returns from " + from,
          expected,
          Verdict.ERROR,
          bench -> {
            bench.deadlines = SHORT;
            bench.more = FaultBench.TRIM;
            bench.before =
                (called, what) -> {
                  if (called.equals(role)
                      && what.equals(method)
                      && bench.board.now().contains("K2")) {
                    hang(never);
                  }
                };
          });
    } finally {
      never.countDown();
    }
  }

  /** Minds no interrupt. */
  private static void hang(CountDownLatch latch) {
    while (true) {
      try {
        latch.await();
        return;
      } catch (InterruptedException e) {
        continue;
      }
    }
  }

  @Test
  void outOfMemoryInDriver() throws Exception {
    fake(
        23,
        "out of memory in a driver while it works on a capture",
        ERROR,
        Verdict.ERROR,
        bench ->
            bench.capture =
                c -> {
                  throw new OutOfMemoryError("Java heap space");
                });
  }

  @Test
  void diskFullOnce() throws Exception {
    fake(
        24,
        "disk full for a moment while the journal is written",
        "error, mains off; the end is on record when there is room again",
        Verdict.ERROR,
        bench ->
            bench.sink =
                journal ->
                    event -> {
                      if (event instanceof Event.StepStarted s && s.step().equals("gain")) {
                        throw new IOException("No space left on device");
                      }
                      return journal.append(event);
                    });
  }

  @Test
  void calendarClockJumps() throws Exception {
    FaultBench bench = new FaultBench(folder);
    BenchClock real = bench.clock;
    AtomicInteger looks = new AtomicInteger();
    bench.clock =
        new BenchClock() {
          @Override
          public long nanos() {
            return real.nanos();
          }

          @Override
          public Instant now() {
            return real.now().plus(Duration.ofHours(looks.incrementAndGet() % 2 == 0 ? -5 : 7));
          }

          @Override
          public boolean passesBySleepingOnly() {
            return real.passesBySleepingOnly();
          }

          @Override
          public void sleep(Duration duration) throws InterruptedException {
            real.sleep(duration);
          }
        };
    RunRecord record = run(bench);
    assertThat(record.verdict()).as(record.reason()).isEqualTo(Verdict.PASS);
    assertThat(record.steps().get(1).took())
        .isBetween(Duration.ofSeconds(2), Duration.ofSeconds(3));
    table.putFake(
        25,
        "calendar clock jumps by hours, to and fro, at every look",
        "pass: nothing is timed by it, so neither unit nor station is the worse for it",
        FaultTable.seen(record));
  }

  @Test
  void relayBoardUnplugged() throws Exception {
    wire(
        12,
        "relay board unplugged, then a stop",
        "error, not confirmed: the operator is told to use the emergency stop",
        Verdict.ERROR,
        (bench, program) -> {
          bench.relayCable.unplug();
          program.signal("INT");
        });
  }

  @Test
  void relayBoardSilent() throws Exception {
    wire(
        13,
        "relay board obeys but answers no more, then a stop",
        "error, not confirmed; the relays are at rest all the same",
        Verdict.ERROR,
        (bench, program) -> {
          bench.slave.failAlways(ModbusSlave.Fault.SILENT);
          program.signal("INT");
        });
  }

  @Test
  void interrupted() throws Exception {
    wire(
        31,
        "SIGINT (Ctrl-C)",
        "aborted, mains off, discharge watched",
        Verdict.ABORTED,
        (bench, program) -> program.signal("INT"));
  }

  @Test
  void terminated() throws Exception {
    wire(
        32,
        "SIGTERM",
        "aborted, mains off, discharge watched",
        Verdict.ABORTED,
        (bench, program) -> program.signal("TERM"));
  }
}
