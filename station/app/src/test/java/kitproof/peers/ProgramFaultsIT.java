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
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.Stream;
import kitproof.cli.Cli;
import kitproof.driver.BenchClock;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.Follower;
import kitproof.journal.RunRecord;
import kitproof.operator.Desk;
import kitproof.run.Latest;
import kitproof.screen.PlanFacts;
import kitproof.screen.Screen;
import kitproof.store.Index;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.Test;

/** Faults within the program: its memory, its clock, who looks on; and signals to it. */
class ProgramFaultsIT extends FaultRows {
  private static final String NOBODY_WAITS =
      "pass: a run waits for nobody who looks on, and what it measured and recorded is whole";
  private static final List<String> LISTENERS = List.of("kitproof-console", "index");
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
  void consoleAndIndexThrow() throws Exception {
    int number = 42;
    String unit = unit(number);
    Set<String> thrown = ConcurrentHashMap.newKeySet();
    PrintStream out =
        new PrintStream(
            new OutputStream() {
              @Override
              public void write(int b) {
                String listener = Thread.currentThread().getName();
                if (LISTENERS.contains(listener)) {
                  thrown.add(listener);
                  throw new IllegalStateException("a mistake in the listener");
                }
              }
            },
            true,
            StandardCharsets.UTF_8);
    Scene scene = PluginScene.in(own(number), PluginScene.plugins(folder), "", "none", "none");
    Files.createDirectories(scene.records());
    Files.writeString(Index.file(scene.records()), "no index, which is to be told");
    assertThat(Cli.run(out, out, scene.arguments(unit))).isZero();
    assertThat(thrown).containsExactlyInAnyOrderElementsOf(LISTENERS);
    RunRecord record = scene.record(unit);
    endsSafely(record, Verdict.PASS);
    table.putInProcess(
        number,
        "listeners that throw (the console, and the one that tells of the index)",
        NOBODY_WAITS,
        seen(record));
  }

  /** The operator's screen follows a run; which one, and how. */
  private static Thread followed(Screen screen, Follower follower, PlanFacts facts) {
    return screen.follow(
        follower, new Latest(System::nanoTime), facts, Instant::now, found -> List.of());
  }

  private static void ends(Thread thread) throws InterruptedException {
    thread.join(Program.PATIENCE.toMillis());
    assertThat(thread.isAlive()).as("it follows on").isFalse();
  }

  private static Screen screen() {
    Screen.Facts facts = new Screen.Facts("attic", "bench-7", "faults", 1);
    return new Screen(facts, new Desk(), Instant::now, System::nanoTime);
  }

  @Test
  void screenThrows() throws Exception {
    FaultBench bench = new FaultBench(folder);
    List<Follower> followers = new ArrayList<>();
    List<Thread> threads = new ArrayList<>();
    bench.onlooker =
        (follower, facts) -> {
          follower.close();
          followers.add(follower);
          threads.add(followed(screen(), follower, facts));
        };
    RunRecord record = bench.run("screen-throws");
    endsSafely(record, Verdict.PASS);
    ends(threads.get(0));
    assertThat(followers.get(0).finished()).as("it has seen the run to its end").isFalse();
    table.putPlayed(
        70,
        "a listener that throws (the operator's screen, which cannot read the journal)",
        NOBODY_WAITS,
        seen(record));
  }

  @Test
  void screenBlocks() throws Exception {
    FaultBench bench = new FaultBench(folder);
    Screen screen = screen();
    List<Follower> followers = new ArrayList<>();
    List<Thread> threads = new ArrayList<>();
    AtomicLong told = new AtomicLong();
    bench.onlooker =
        (follower, facts) -> {
          followers.add(follower);
          threads.add(followed(screen, follower, facts));
          told.set(screen.version());
        };
    RunRecord record;
    synchronized (screen) { // as a page that never lets go of it
      record = bench.run("screen-blocks");
      Awaitility.await()
          .atMost(Program.PATIENCE)
          .until(() -> threads.get(0).getState() == Thread.State.BLOCKED);
      assertThat(screen.version()).as("the page was told of nothing").isEqualTo(told.get());
    }
    endsSafely(record, Verdict.PASS);
    ends(threads.get(0));
    assertThat(followers.get(0).ended()).as("it goes on once it can").isTrue();
    table.putPlayed(
        50,
        "a listener that blocks for ever (the operator's screen, held by a page)",
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
