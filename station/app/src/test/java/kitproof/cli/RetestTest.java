package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.StringReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.History;
import kitproof.journal.Journal;
import kitproof.journal.KeptRuns;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Which unit, and once more. */
class RetestTest {
  private static final Path BENCH = Cli.example("bench-simulated.yaml");
  @TempDir Path folder;
  private Path planFile;
  private Path records;

  @BeforeEach
  void write() throws IOException {
    records = folder.resolve("records");
    planFile = SmallPlans.cold(folder);
  }

  private Cli run(Object... more) {
    Object[] all = new Object[6 + more.length];
    System.arraycopy(
        new Object[] {"run", planFile, "--bench", BENCH, "--records", records}, 0, all, 0, 6);
    System.arraycopy(more, 0, all, 6, more.length);
    return Cli.run(all);
  }

  @Test
  void aUnitThatHasPassedIsNotTestedAgainUnasked() throws IOException {
    assertThat(run("--unit", "LN12-001").code()).isZero();
    Cli again = run("--unit", "LN12-001");
    assertThat(again.code()).isEqualTo(2);
    assertThat(again.err()).contains("LN12-001 has passed in run ", "expected --retest");
    assertThat(run("--unit", "LN12-002").code()).as("another unit").isZero();

    Cli retest = run("--unit", "LN12-001", "--retest");
    assertThat(retest.code()).as(retest.err()).isZero();
    assertThat(retest.out()).contains("attempt 2: run ", " ended as pass");
    List<History.Attempt> attempts = History.of(records, "Linnet 12", "LN12-001");
    assertThat(attempts).extracting(History.Attempt::verdict).containsOnly(Verdict.PASS).hasSize(2);
    RunRecord record = RecordDocument.read(records.resolve(attempts.get(1).run() + ".json"));
    assertThat(record.attempt()).isEqualTo(2);
    assertThat(record.events().get(1).event())
        .isEqualTo(new Event.Retest(2, attempts.get(0).run(), Verdict.PASS));
  }

  @Test
  void aUnitThatFailedIsTestedAgainWithoutAsking() throws IOException {
    Path limits = folder.resolve("limits.yaml");
    String good = Files.readString(limits);
    Files.writeString(limits, good.replace("low: -1 V, high: 1 V", "low: 10 V"));
    assertThat(run("--unit", "LN12-001").code()).isEqualTo(1);
    Files.writeString(limits, good);
    Cli again = run("--unit", "LN12-001");
    assertThat(again.code()).isZero();
    assertThat(again.out()).contains("attempt 2: run ", " ended as fail");
  }

  @Test
  void aRunInErrorIsNoAttempt() throws IOException {
    for (Path file : List.of(planFile, folder.resolve("limits.yaml"))) { // the product kept below
      String text = Files.readString(file);
      Files.writeString(
          file, text.replace("Linnet 12", "linnet-12").replaceFirst("revision: B", "revision: b"));
    }
    KeptRuns.keep(
        new RecordStore(records),
        "20261125T101500.123Z-LN12-001",
        "bench-1",
        "LN12-001",
        Instant.parse("2026-11-25T10:15:00.123Z"),
        Verdict.ERROR);
    Cli run = run("--unit", "LN12-001", "--json");
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(RecordDocument.read(Path.of(run.json().get("record").asText())).attempt())
        .isEqualTo(1);
    assertThat(run("--unit", "LN12-001", "--retest").out())
        .contains("attempt 2: run ", " ended as pass");
    Cli units = Cli.run("store", "units", "--records", records, "--json");
    assertThat(units.json().get("units")).hasSize(1);
    assertThat(units.json().at("/units/0/attempts").intValue()).isEqualTo(2);
    assertThat(Cli.run("store", "units", "--records", records).out())
        .contains("2 attempts  first pass");
  }

  @Test
  void withoutAUnitAndWithoutATerminalNothingIsTouched() {
    Cli cli = run();
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("found no --unit, and nobody to ask (no terminal)");
    assertThat(records).doesNotExist();
  }

  /** As a program that was killed leaves it: begun, without an end. */
  private void cutShort() throws IOException {
    cutShort(records);
  }

  private static void cutShort(Path folder) throws IOException {
    RecordStore store = new RecordStore(folder);
    try (Journal journal = store.begin("20261126T070000.000Z-LN12-009", () -> Instant.EPOCH)) {
      var unused =
          journal.append(
              new Event.RunStarted(
                  "20261126T070000.000Z-LN12-009",
                  "",
                  "",
                  "LN12-009",
                  "",
                  "Linnet 12",
                  "B",
                  "cold",
                  Map.of(),
                  List.of()));
    }
  }

  @Test
  void afterARunThatWasCutShortTheSafeStateComesBeforeARefusal() throws IOException {
    cutShort();
    Cli refused = run();
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err())
        .containsSubsequence(
            "note: run 20261126T070000.000Z-LN12-009 was cut short. The bench is in its safe state,"
                + " read back before anything else.",
            "found no --unit, and nobody to ask (no terminal)");
    assertThat(records.resolve("20261126T070000.000Z-LN12-009.json"))
        .as("the next run ends it")
        .doesNotExist();
    assertThat(run("--unit", "LN12-001").out()).contains("-LN12-009: ended as aborted");
    assertThat(run("--unit", "LN12-002").err()).doesNotContain("cut short");
  }

  @Test
  void aTrialOfAGaugeStudyThatWasCutShortCountsAndIsEndedOnce() throws IOException {
    cutShort(records.resolve("gauge").resolve("spring"));
    Cli refused = run();
    assertThat(refused.err())
        .containsSubsequence(
            "-LN12-009 was cut short. The bench is in its safe state",
            "-LN12-009: ended as aborted",
            "found no --unit");
    assertThat(run().err()).doesNotContain("was cut short. "); // the help has the words too
  }

  /** Nothing of that bench is connected here, so that nothing of it can be read back. */
  @Test
  void aTrialStaysOpenUntilTheSafeStateIsConfirmed() throws IOException {
    cutShort(records.resolve("gauge").resolve("spring"));
    for (int time = 0; time < 2; time++) {
      Cli cli =
          Cli.run(
              "run", planFile, "--bench", Cli.example("bench-serial.yaml"), "--records", records);
      assertThat(cli.code()).isEqualTo(2);
      assertThat(cli.err())
          .contains("-LN12-009 was cut short. SAFE STATE NOT CONFIRMED: ")
          .doesNotContain("ended as aborted");
    }
    assertThat(run().err()).contains("The bench is in its safe state", "ended as aborted");
  }

  @Test
  void serveMakesSafeBeforeItRefuses() throws IOException {
    cutShort();
    Cli refused =
        Cli.run("serve", planFile, "--bench", BENCH, "--records", records, "--batch-size", "12");
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err())
        .containsSubsequence(
            "was cut short. The bench is in its safe state", "the batch that has this size");
  }

  @Test
  void whereTheBenchFileCannotBeUsedTheOperatorIsToldThatTheSafeStateIsNotCommanded()
      throws IOException {
    cutShort();
    Cli cli = Cli.run("run", planFile, "--bench", planFile, "--records", records);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err())
        .contains(
            "was cut short. SAFE STATE NOT COMMANDED: the bench file cannot be used. Treat whatever"
                + " is on the bench as live until its HV rail has been measured.");
  }

  @Test
  void aSerialNumberOfAnotherKindIsToldWithTheNearest() {
    Cli cli = run("--unit", "ln12-1");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err())
        .contains("found \"ln12-1\"; expected a serial number of Linnet 12")
        .contains("did you mean \"LN12-001\"?");
  }

  @Test
  void thePersonIsAskedUntilASerialNumberIsOne() throws IOException {
    Plan plan = PlanReader.read(planFile).value();
    ByteArrayOutputStream shown = new ByteArrayOutputStream();
    UnitQuestion question =
        new UnitQuestion(
            new PrintStream(shown, true, StandardCharsets.UTF_8),
            new BufferedReader(new StringReader("LN12-1\n  LN12-001 \nperhaps\nyes\nno\n")),
            plan,
            records);
    assertThat(question.serial()).contains("LN12-001");
    History.Attempt passed = new History.Attempt("r", Verdict.PASS);
    assertThat(question.again("LN12-001", passed)).isTrue();
    assertThat(question.again("LN12-001", passed)).isFalse();
    assertThat(question.again("LN12-001", passed)).as("nothing more is typed").isFalse();
    assertThat(question.serial()).isEqualTo(Optional.empty());
    assertThat(shown.toString(StandardCharsets.UTF_8))
        .contains("did you mean \"LN12-001\"?", "LN12-001 has passed in run r. Test it again?");
  }
}
