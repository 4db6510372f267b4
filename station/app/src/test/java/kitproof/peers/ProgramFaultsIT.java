package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import kitproof.cli.Cli;
import kitproof.driver.BenchClock;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.Test;

/** Faults within the program: its memory, its clock, who looks on; and signals to it. */
class ProgramFaultsIT extends FaultRows {
  private static final String NOBODY_WAITS =
      "pass: a run waits for nobody who looks on, and what it measured and recorded is whole";
  private static final String STOP_OUTPUT = "\u0013";
  private static final String GO_ON_WITH_OUTPUT = "\u0011";

  ProgramFaultsIT() {
    super(FaultTable.Section.PROGRAM);
  }

  private static void endsSafely(RunRecord record, Verdict verdict) {
    assertThat(record.verdict()).as(record.reason()).isEqualTo(verdict);
    assertThat(record.safeStates()).isNotEmpty().allMatch(Event.SafeState::confirmed);
    assertThat(Results.value(record, "discharge time to safe")).isNotNegative();
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
    RunRecord record = bench.run("clock");
    endsSafely(record, Verdict.PASS);
    assertThat(looks).hasPositiveValue();
    assertThat(record.steps().get(1).took())
        .isBetween(Duration.ofSeconds(2), Duration.ofSeconds(3));
    table.putPlayed(
        25,
        "calendar clock jumps by hours, to and fro, at every look",
        "pass: nothing is timed by it, so neither unit nor station is the worse for it",
        seen(record));
  }

  @Test
  void outOfMemoryInAnalysis() throws Exception {
    FaultBench bench = new FaultBench(folder);
    bench.plan = Starving::gain;
    RunRecord record = bench.run("memory");
    endsSafely(record, Verdict.ERROR);
    table.putInProcess(
        47, "out of memory in the analysis of a capture (the heap really is)", ERROR, seen(record));
  }

  @Test
  void consoleThrows() throws Exception {
    int number = 42;
    String unit = unit(number);
    AtomicInteger thrown = new AtomicInteger();
    PrintStream out =
        new PrintStream(
            new OutputStream() {
              @Override
              public void write(int b) {
                if (Thread.currentThread().getName().equals("kitproof-console")) {
                  thrown.incrementAndGet();
                  throw new IllegalStateException("a mistake in the listener");
                }
              }
            },
            true,
            StandardCharsets.UTF_8);
    Scene scene = PluginScene.in(own(number), PluginScene.plugins(folder), "", "none", "none");
    assertThat(Cli.run(out, out, scene.arguments(unit))).isZero();
    assertThat(thrown).hasPositiveValue();
    RunRecord record = scene.record(unit);
    endsSafely(record, Verdict.PASS);
    table.putInProcess(
        number,
        "a listener that throws (the console; no other is tried)",
        NOBODY_WAITS,
        seen(record));
  }

  @Test
  void terminalStopped() throws Exception {
    int number = 43;
    String unit = unit(number);
    try (SerialBench bench = new SerialBench(own(number), "", RelayFaultsIT.SOME_READINGS);
        Program program = bench.scene.startOnTerminal(unit)) {
      program.awaitPrinted("first power");
      program.type(STOP_OUTPUT);
      Awaitility.await()
          .atMost(Program.PATIENCE)
          .until(() -> !program.isAlive() || isRecorded(bench.scene.records()));
      assertThat(program.isAlive()).as("it still waits to print").isTrue();
      assertThat(program.printed()).doesNotContain(unit + ": PASS");
      assertThat(bench.slave.coilsOn()).as("the bench has not waited").isEmpty();
      RunRecord record = bench.scene.record(unit);
      endsSafely(record, Verdict.PASS);
      program.type(GO_ON_WITH_OUTPUT);
      assertThat(program.exitCode()).as(program.printed()).isZero();
      assertThat(program.printed()).contains(unit + ": ").contains("PASS");
      table.put(
          number,
          "a listener that blocks for ever (a terminal that its person has stopped with Ctrl-S)",
          NOBODY_WAITS,
          seen(record) + "; the verdict is printed once the terminal takes it");
    }
  }

  private static boolean isRecorded(Path records) throws IOException {
    if (!Files.isDirectory(records)) {
      return false;
    }
    try (Stream<Path> files = Files.list(records)) {
      return files.anyMatch(file -> file.toString().endsWith(".json"));
    }
  }

  @Test
  void interrupted() throws Exception {
    signalled(
        31,
        "SIGINT (Ctrl-C)",
        "aborted, mains off, discharge watched",
        Verdict.ABORTED,
        (bench, program) -> program.signal("INT"));
  }

  @Test
  void terminated() throws Exception {
    signalled(
        32,
        "SIGTERM",
        "aborted, mains off, discharge watched",
        Verdict.ABORTED,
        (bench, program) -> program.signal("TERM"));
  }
}
