package kitproof.console;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.IntStream;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.Journal;
import kitproof.journal.RecordStore;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a person sees of a run, and what becomes of the run when the console does not work. */
@Timeout(60)
class RunConsoleTest {
  private static final Instant START = Instant.parse("2026-11-25T10:00:00Z");
  private static final InstantSource CLOCK = InstantSource.fixed(START);
  private static final Duration SHORT = Duration.ofMillis(50);
  private static final Limit.Scalar LIMIT =
      new Limit.Scalar(Quantity.parse("20 dB"), Quantity.parse("30 dB"));

  @TempDir Path folder;
  private RecordStore store;

  @BeforeEach
  void open() throws IOException {
    store = new RecordStore(folder);
  }

  private static Event.ResultJudged result(
      String name, String quantity, Judgement.Outcome outcome, String detail) {
    return new Event.ResultJudged(
        0,
        Measurement.of(name, Conditions.NONE, Quantity.parse(quantity)),
        new Judgement(outcome, outcome == Judgement.Outcome.NOT_JUDGED ? null : LIMIT, detail));
  }

  private static final List<Event> RUN =
      List.of(
          new Event.RunStarted(
              "r",
              "shop",
              "station",
              "U1",
              "",
              "Amp",
              "B",
              "a plan",
              Map.of(),
              List.of(
                  new Event.PlannedStep(
                      "gain", Conditions.of("tap", "8 ohm"), Duration.ofSeconds(90)))),
          new Event.BenchOpened(Map.of("relays", "Relays 1", "hv-meter", "Meter 2")),
          new Event.SafeState("start of the run", true, ""),
          new Event.StepStarted(0, "gain", "gain", Conditions.of("tap", "8 ohm")),
          result("gain", "25 dB", Judgement.Outcome.PASS, "20 dB to 30 dB"),
          result("peak", "31 dB", Judgement.Outcome.FAIL, "31 dB is above 30 dB"),
          result("close", "30.00001 dB", Judgement.Outcome.FAIL, "30.00001 dB is above 30 dB"),
          result("edge", "29.9 dB", Judgement.Outcome.GUARD_BAND, "30 dB less 0.2 dB"),
          result("spread", "1 dB", Judgement.Outcome.NOT_JUDGED, "there is no limit"),
          result("other", "2 dB", Judgement.Outcome.NOT_JUDGED, "there is no limit"),
          new Event.ResultJudged(
              0,
              Measurement.invalid("thd", Conditions.NONE, "the capture clipped"),
              new Judgement(Judgement.Outcome.NOT_JUDGED, null, "the capture clipped")),
          new Event.StepFinished(
              0,
              "gain",
              Conditions.NONE,
              StepOutcome.FAILED,
              "the plan stops here on a failure",
              Duration.ofSeconds(80)),
          new Event.Notice("HV rail unknown: treat as live"),
          new Event.SafeState("end of the run", false, "relay K1 did not open"),
          new Event.RunEnded(
              Verdict.ERROR,
              "the safe state could not be confirmed",
              List.of("peak", "close", "edge")));

  private static final String TOLD =
      """
      unit U1, Amp revision B: a plan, 1 step
              hv-meter  Meter 2
              relays    Relays 1
              safe state read back (start of the run)
        1/1  gain (tap 8 ohm)
              pass  gain                              25 dB   20 dB to 30 dB
              FAIL  peak                              31 dB   above 30 dB
              FAIL  close                             30 dB   30.00001 dB is above 30 dB
              guard edge                            29.9 dB   30 dB less 0.2 dB
                -   thd                             invalid   the capture clipped
              not judged: spread 1 dB, other 2 dB
              the plan stops here on a failure
              note: HV rail unknown: treat as live
              SAFE STATE NOT CONFIRMED: relay K1 did not open
              Use the bench's emergency stop. Treat the unit as live; do not open it.
              results: 1 passed, 3 failed, 3 not judged
              failed: peak
              failed: close
              failed: edge
              error: the safe state could not be confirmed
      """;

  private final AtomicInteger gone = new AtomicInteger();

  /** Writes the whole run while the console follows; returns when both are done. */
  private void run(PrintStream out, boolean terminal, Duration patience) throws IOException {
    try (Journal journal = store.begin("r", CLOCK)) {
      RunConsole console =
          new RunConsole(
              store.follow(journal.file()),
              out,
              new Words(terminal),
              terminal,
              CLOCK,
              null,
              "",
              gone::incrementAndGet,
              patience);
      for (Event event : RUN) {
        journal.append(event);
      }
      console.close();
    }
  }

  @Test
  void aLineThatIsInNoJournalIsPrintedTooAndRefusedOnceTheRunIsOver() throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    RunConsole console;
    try (Journal journal = store.begin("r", CLOCK)) {
      console =
          new RunConsole(
              store.follow(journal.file()),
              to(bytes),
              new Words(false),
              false,
              CLOCK,
              null,
              "",
              gone::incrementAndGet,
              Duration.ofSeconds(30));
      assertThat(console.say("stop: it is commanded")).isTrue();
      for (Event event : RUN) {
        journal.append(event);
      }
      console.close();
    }
    assertThat(printed(bytes)).containsOnlyOnce("stop: it is commanded\n");
    assertThat(console.say("too late")).isFalse();
    assertThat(printed(bytes)).doesNotContain("too late");
  }

  private static String printed(ByteArrayOutputStream bytes) {
    return bytes.toString(StandardCharsets.UTF_8).replace(System.lineSeparator(), "\n");
  }

  private static PrintStream to(OutputStream stream) {
    return new PrintStream(stream, true, StandardCharsets.UTF_8);
  }

  @Test
  void theWholeRunInPlainLines() throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    run(to(bytes), false, Duration.ofSeconds(30));
    assertThat(printed(bytes)).isEqualTo(TOLD);
  }

  @Test
  void aTerminalGetsTheSameWordsAndIsLeftWithoutAStatusLine() throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    run(to(bytes), true, Duration.ofSeconds(30));
    String plain =
        printed(bytes)
            .replaceAll("step \\d[^\r\u001b]*to go", "")
            .replaceAll("\r|\u001b\\[[0-9;]*[mK]", "");
    assertThat(plain).isEqualTo(TOLD);
    assertThat(gone).hasValue(0);
  }

  /** A file or a pipe that takes nothing more is nobody's way to watch the bench. */
  @ParameterizedTest
  @CsvSource({"true, 1", "false, 0"})
  void aTerminalThatTakesNothingMoreIsToldOnce(boolean terminal, int times) throws IOException {
    OutputStream closed =
        new OutputStream() {
          @Override
          public void write(int b) throws IOException {
            throw new IOException("Input/output error");
          }
        };
    run(to(closed), terminal, Duration.ofSeconds(30));
    assertThat(gone).hasValue(times);
  }

  @Test
  void theStatusLineTellsWhereTheRunIsAndWhatIsLeft() {
    StatusLine status = new StatusLine();
    assertThat(status.text(START)).isEmpty();
    for (int i = 0; i < 4; i++) {
      status.note(new Entry("r", i, START, RUN.get(i)));
    }
    assertThat(status.text(START.plusSeconds(34)))
        .isEqualTo("step 1 of 1 · 0:34 so far · about 0:56 to go");
    status.note(new Entry("r", 4, START, new Event.RailRead(Quantity.of(212, Unit.VOLT))));
    assertThat(status.text(START.plusSeconds(34)))
        .isEqualTo("HV rail 212 V, do not open · step 1 of 1 · 0:34 so far · about 0:56 to go");
    status.note(new Entry("r", 5, START, new Event.OpeningTold(SafeToOpen.YES, "below 30 V")));
    assertThat(status.text(START.plusSeconds(134)))
        .isEqualTo("step 1 of 1 · 2:14 so far · about 0:00 to go");
    status.note(new Entry("r", 4, START, RUN.get(RUN.size() - 1)));
    assertThat(status.text(START)).isEmpty();
  }

  @Test
  void aConsoleThatThrowsDoesNotDisturbTheRun() throws IOException {
    CountDownLatch thrown = new CountDownLatch(1);
    PrintStream broken =
        new PrintStream(OutputStream.nullOutputStream(), true, StandardCharsets.UTF_8) {
          @Override
          public void println(Object line) {
            thrown.countDown();
            throw new IllegalStateException("the screen is gone");
          }

          @Override
          public void println(String line) {
            println((Object) line);
          }
        };
    run(broken, true, Duration.ofSeconds(30));
    assertThat(thrown.getCount()).isZero();
    assertThat(store.fold(store.journalFile("r")).verdict()).isEqualTo(Verdict.ERROR);
  }

  @Test
  void aConsoleThatBlocksDoesNotHoldTheRun() throws Exception {
    CountDownLatch blocked = new CountDownLatch(1);
    CountDownLatch release = new CountDownLatch(1);
    OutputStream stuck =
        new OutputStream() {
          @Override
          public void write(int b) throws IOException {
            blocked.countDown();
            try {
              release.await();
            } catch (InterruptedException e) {
              throw new IOException(e);
            }
          }
        };
    // Returns although nothing is ever taken: a stopped terminal (Ctrl-S) is like that.
    run(to(stuck), true, SHORT);
    blocked.await();
    assertThat(store.fold(store.journalFile("r")).events()).hasSize(RUN.size());
    release.countDown();
  }

  /**
   * Who measures blind sees neither serial number nor figures, but all that has to do with safety.
   */
  @Test
  void aBlindTrialShowsNeitherUnitNorFigures() {
    RunLines lines = new RunLines(new Words(false), "C");
    List<String> told = new ArrayList<>();
    for (Event event : RUN) {
      told.addAll(lines.of(new Entry("r", told.size(), START, event)));
    }
    told.addAll(
        lines.of(new Entry("r", 99, START, new Event.GaugeTrial("s", 4, 18, "Ann", 2, "C"))));
    String all = String.join("\n", told);
    assertThat(all)
        .contains("unit C", "gain", "treat as live", "SAFE STATE NOT CONFIRMED: relay K1")
        .contains("gauge study s: trial 4 of 18, Ann, repeat 2")
        .doesNotContain("U1", "25 dB", "31 dB", "29.9", "peak", "failed", "passed");
  }

  @Test
  void manyFailuresAreNotAllRepeatedAtTheEnd() {
    RunLines lines = new RunLines(new Words(false));
    List<String> failed = IntStream.range(0, 40).mapToObj(i -> "r" + i).toList();
    List<String> told =
        lines.of(new Entry("r", 0, START, new Event.RunEnded(Verdict.FAIL, "r0: too big", failed)));
    assertThat(told).hasSize(14).endsWith("        and 28 more");
    assertThat(told).noneMatch(l -> l.contains("too big"));
  }

  @Test
  void whatIsNotJudgedIsWrappedAtWholeResults() {
    RunLines lines = new RunLines(new Words(false));
    for (int i = 4; i <= 10; i++) {
      Event event =
          result(
              "harmonic " + i,
              "-100." + i + " dB",
              Judgement.Outcome.NOT_JUDGED,
              "there is no limit");
      assertThat(lines.of(new Entry("r", i, START, event))).isEmpty();
    }
    List<String> told =
        lines.of(
            new Entry(
                "r",
                11,
                START,
                new Event.StepFinished(
                    0, "s", Conditions.NONE, StepOutcome.PASSED, "", Duration.ZERO)));
    assertThat(told).hasSize(2).allMatch(l -> l.length() <= 100);
    assertThat(told.get(0)).startsWith("        not judged: harmonic 4 -100.4 dB, ").endsWith(",");
    assertThat(told.get(1)).startsWith("          harmonic ").endsWith("harmonic 10 -100.1 dB");
  }

  @Test
  void aNoiseSaysHowItWasWeighted() {
    RunLines lines = new RunLines(new Words(false));
    List<String> told = new ArrayList<>();
    for (String weighting : List.of("none", "A", "ITU-R 468 rms")) {
      Event event =
          new Event.ResultJudged(
              0,
              Measurement.of(
                  "noise", Conditions.of("weighting", weighting), Quantity.parse("25 dB")),
              new Judgement(Judgement.Outcome.PASS, LIMIT, "20 dB to 30 dB"));
      told.addAll(lines.of(new Entry("r", 1, START, event)));
    }
    assertThat(told)
        .extracting(line -> line.strip().replaceAll(" +", " "))
        .containsExactly(
            "pass noise, unweighted 25 dB 20 dB to 30 dB",
            "pass noise, A-weighted 25 dB 20 dB to 30 dB",
            "pass noise, ITU-R 468 rms 25 dB 20 dB to 30 dB");
  }
}
