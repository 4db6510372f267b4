package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A person at a real terminal (a pseudo-terminal): typing, the live line, Ctrl-C. */
class PersonOnTerminalIT {
  private static final String PERSON = "  operator: {driver: person, kind: operator}\n";
  private static final String STEPS =
      """
        - {step: by eye, procedure: entry, mains: direct, say: read the panel meter, result: hv by eye, plausible: 0 V..600 V}
        - {step: set, procedure: adjust, say: turn the trimmer, caution: HV is on, control: trimmer, meter: hv-meter, function: hv, result: set, window: 320 V..340 V, dwell: 1 s}
        - {step: cover, procedure: prompt, say: close the cover}
      """;

  @TempDir private Path folder;

  @Test
  @DisplayName(
      "Typed answers are taken, wrong ones asked for again, an adjustment settles by itself, and a"
          + " unit that has passed is asked for before it is tested again")
  void answered() throws Exception {
    try (SerialBench bench = new SerialBench(folder, PERSON, STEPS);
        Program program = bench.scene.startOnTerminal("LN12-021")) {
      program.awaitPrinted("read the panel meter");
      program.type("lots\n");
      program.awaitPrinted("found \"lots\"; expected a value from 0 V to 600 V");
      program.type("700\n");
      program.awaitPrinted("found 700 V; expected a value from 0 V to 600 V");
      program.type("331\n");
      program.awaitPrinted("CAUTION  HV is on");
      program.awaitPrinted("inside, ");
      program.awaitPrinted("close the cover");
      program.type("\n");

      assertThat(program.exitCode()).as(program.printed()).isZero();
      RunRecord record = bench.scene.record("LN12-021");
      assertThat(record.verdict()).isEqualTo(Verdict.PASS);
      assertThat(Results.value(record, "hv by eye")).isEqualTo(331);
      assertThat(Results.value(record, "set")).isBetween(320.0, 340.0);
      assertThat(answers(record)).containsExactly("331 V", "done", "done");
      isAskedForBeforeItIsTestedAgain(bench, "LN12-021");
    }
  }

  private static void isAskedForBeforeItIsTestedAgain(SerialBench bench, String passed)
      throws Exception {
    int moves = bench.slave.history().size();
    try (Program program = bench.scene.startOnTerminal(passed)) {
      program.awaitPrinted("Test it again? yes or no: ");
      program.type("\n"); // a scanner's second Enter is no decision
      assertThat(bench.slave.history()).as("nothing is touched before").hasSize(moves);
      program.type("yes\n");
      program.awaitPrinted("attempt 2: run ");
      assertThat(program.printed().split("Test it again\\?", -1)).as("asked twice").hasSize(3);
      program.awaitPrinted("read the panel meter");
      program.type("\u0003");
      assertThat(program.exitCode()).as(program.printed()).isEqualTo(3);
    }
  }

  @Test
  @DisplayName("Ctrl-C while a question stands: safe at once, discharge watched, exit code 3")
  void interrupted() throws Exception {
    try (SerialBench bench = new SerialBench(folder, PERSON, STEPS);
        Program program = bench.scene.startOnTerminal("LN12-022")) {
      program.awaitPrinted("read the panel meter");
      program.type("\u0003");

      assertThat(program.exitCode()).as(program.printed()).isEqualTo(3);
      RunRecord record = bench.scene.record("LN12-022");
      assertThat(record.verdict()).isEqualTo(Verdict.ABORTED);
      assertThat(record.reason()).startsWith("stopped by the operator");
      assertThat(program.printed())
          .as("the status line while it discharges")
          .containsPattern("HV rail [0-9.]+ V, do not open · step ");
      assertThat(record.steps().get(1).outcome()).isEqualTo(StepOutcome.ABORTED);
      assertThat(Results.value(record, "discharge time to safe")).isNotNegative();
      assertThat(bench.slave.coilsOn()).isEmpty();
    }
  }

  @Test
  @DisplayName("Who says no to a prompt ends the run as aborted, with the reason on record")
  void declined() throws Exception {
    String prompt = "  - {step: cover, procedure: prompt, say: close the cover}\n";
    try (SerialBench bench = new SerialBench(folder, PERSON, prompt);
        Program program = bench.scene.startOnTerminal("LN12-023")) {
      program.awaitPrinted("close the cover");
      program.type("no, the hinge is broken\n");
      assertThat(program.exitCode()).as(program.printed()).isEqualTo(3);
      assertThat(bench.scene.record("LN12-023").reason())
          .startsWith("the operator declined: the hinge is broken");
    }
  }

  @Test
  @DisplayName("Without a terminal a plan that asks is refused before anything is touched")
  void nobody() throws Exception {
    try (SerialBench bench = new SerialBench(folder, PERSON, STEPS);
        Program program = bench.scene.start("LN12-024")) {
      assertThat(program.exitCode()).as(program.printed()).isEqualTo(2);
      assertThat(program.printed()).contains("plan.yaml:", "nobody to ask (no terminal)");
      assertThat(bench.slave.history()).hasSize(1);
    }
  }

  private static List<String> answers(RunRecord record) {
    return record.events().stream()
        .map(entry -> entry.event())
        .filter(Event.OperatorAnswered.class::isInstance)
        .map(event -> ((Event.OperatorAnswered) event).answer())
        .toList();
  }
}
