package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.Recovery;
import kitproof.journal.RunRecord;
import kitproof.peer.Mosquitto;
import kitproof.peer.Mosquitto.Received;
import kitproof.peer.Mosquitto.Subscriber;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The program interrupted and killed in the middle of a run with the mains on. */
class EndedProgramIT {
  private static final Duration LONG = Duration.ofSeconds(60);

  @TempDir private Path folder;

  @Test
  @DisplayName("Ctrl-C: all relays at rest at once, the discharge still measured, exit code 3")
  void interrupted() throws Exception {
    try (SerialBench bench = new SerialBench(folder, "", SerialBench.LONG_READING);
        Program program = bench.startLongReading("LN12-007")) {
      program.signal("INT");

      RunRecord record = bench.scene.ended(program, "LN12-007", Verdict.ABORTED);

      assertThat(record.reason()).startsWith("stopped by the operator");
      assertThat(record.steps().get(2).outcome()).isEqualTo(StepOutcome.ABORTED);
      assertThat(record.steps().get(2).results()).isEmpty();
      assertThat(record.safeStates()).allMatch(Event.SafeState::confirmed);
      assertThat(record.steps().get(3).outcome()).isEqualTo(StepOutcome.PASSED);
      assertThat(Results.value(record, "discharge time to safe")).isNotNegative();
      assertThat(bench.slave.history())
          .containsExactly(
              Set.of(), Set.of(Rail.MAINS), Set.of(Rail.MAINS, Rail.LIMITER_BYPASS), Set.of());
    }
  }

  @Test
  @DisplayName(
      "The demo opens both its pages; with the terminal closed its run ends as aborted, its"
          + " discharge measured")
  void hungUp() throws Exception {
    String records = folder.resolve("records").toString();
    Path opened = folder.resolve("opened");
    try (Program program =
        Program.start(
            folder, List.of("demo", "--units", "1", "--records", records), desktop(opened))) {
      program.awaitPrinted("supply rise time to settle");
      await().atMost(LONG).until(() -> Files.exists(opened) && lines(opened).size() == 2);
      assertThat(lines(opened))
          .allMatch(address -> address.matches("http://127\\.0\\.0\\.1:\\d+/"))
          .doesNotHaveDuplicates();
      for (String address : lines(opened)) {
        assertThat(program.printed()).contains(": " + address);
      }
      program.signal("HUP");
      assertThat(program.exitCode()).as(program.printed()).isEqualTo(3);
      assertThat(program.printed())
          .contains("aborted: stopped by the operator", "discharge time to safe");
    }
  }

  private static List<String> lines(Path file) throws IOException {
    return Files.readAllLines(file);
  }

  /** Of somebody who sits before a desktop, whose browser only notes what it is to open. */
  private Map<String, String> desktop(Path opened) throws IOException {
    Path programs = Files.createDirectories(folder.resolve("programs"));
    Path opener = programs.resolve("xdg-open");
    Files.writeString(opener, "#!/bin/sh\necho \"$1\" >> '" + opened + "'\n");
    assertThat(opener.toFile().setExecutable(true)).isTrue();
    String path = programs + File.pathSeparator + System.getenv("PATH");
    return Map.of("DISPLAY", ":0", "CI", "", "SSH_CONNECTION", "", "PATH", path);
  }

  @Test
  @DisplayName("SIGKILL leaves the relays on; the next start puts them at rest and tells the run")
  void killed() throws Exception {
    try (SerialBench bench = new SerialBench(folder, "", SerialBench.LONG_READING);
        Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start();
        Subscriber subscriber = broker.subscribe("kitproof/#")) {
      bench.scene.broker(broker.port());
      try (Program program = bench.startLongReading("LN12-008")) {
        program.kill();
      }
      assertThat(bench.slave.coilsOn())
          .as("a killed process cannot act")
          .containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);

      bench.scene.plan(
          "steps: [{step: cold, procedure: reading, wait: 1 s, meter: hv-meter, function: hv,"
              + " result: supply rise settled}]\n");
      bench.scene.limits("  - {result: supply rise settled, high: 400 V}\n");
      RunRecord next;
      try (Program program = bench.scene.start("LN12-009")) {
        await().atMost(LONG).until(() -> bench.slave.coilsOn().isEmpty());
        next = bench.scene.ended(program, "LN12-009", Verdict.PASS);
        assertThat(program.printed()).contains("note: run ", "-LN12-008: ended as aborted");
      }

      assertThat(bench.slave.history())
          .containsExactly(
              Set.of(), Set.of(Rail.MAINS), Set.of(Rail.MAINS, Rail.LIMITER_BYPASS), Set.of());
      RunRecord aborted = bench.scene.record("LN12-008");
      assertThat(aborted.verdict()).isEqualTo(Verdict.ABORTED);
      assertThat(aborted.reason()).isEqualTo(Recovery.REASON);
      assertThat(Results.value(aborted, "hv")).isPositive();
      String last = next.run() + "/" + (next.events().size() - 1) + "/unit";
      List<Received> received =
          subscriber.await(
              r ->
                  Messages.ids(r).contains(last)
                      && Messages.ofRun(r, aborted.run()).size() == aborted.events().size(),
              LONG);
      assertThat(Messages.ofRun(received, aborted.run())).isEqualTo(Messages.all(aborted));
      assertThat(received)
          .filteredOn(m -> m.topic().endsWith("/LN12-008"))
          .isNotEmpty()
          .allMatch(m -> Messages.text(m, "verdict").equals("aborted"));
    }
  }

  @Test
  @DisplayName(
      "After a SIGKILL the mains is off before a refusal is told and before a question is asked")
  void killedThenRefusedOrAsked() throws Exception {
    String cold =
        "steps: [{step: cold, procedure: reading, meter: hv-meter, function: hv, result: hv}]\n";
    try (SerialBench bench = new SerialBench(folder, "", SerialBench.LONG_READING);
        Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start()) {
      bench.scene.broker(broker.port());
      bench.scene.plan(cold).limits("  - {result: hv, high: 400 V}\n");
      bench.scene.run("LN12-011", Verdict.PASS);
      bench.powered();
      try (Program program = bench.startLongReading("LN12-012")) {
        program.kill();
      }
      assertThat(bench.slave.coilsOn()).containsExactly(Rail.MAINS, Rail.LIMITER_BYPASS);

      try (Program again = bench.scene.start("LN12-011")) {
        assertThat(again.exitCode()).as(again.printed()).isEqualTo(2);
        assertThat(again.printed())
            .contains("LN12-012 was cut short. The bench is in its safe state, read back")
            .contains("LN12-011 has passed in run ");
      }
      assertThat(bench.slave.coilsOn()).as("refused, but safe").isEmpty();

      // The journal has no end yet: the start after a refusal commands it once more.
      bench.slave.put(Rail.MAINS, true);
      try (Program asking = bench.scene.startOnTerminal("")) {
        asking.awaitPrinted("Serial number of the unit");
        assertThat(bench.slave.coilsOn()).as("asked, but safe").isEmpty();
        assertThat(asking.printed()).contains("LN12-012 was cut short. The bench is in its safe");
      }
      bench.slave.put(Rail.MAINS, true);
      bench.scene.plan("steps: nonsense\n");
      try (Program wrong = bench.scene.start("LN12-011")) {
        assertThat(wrong.exitCode()).as(wrong.printed()).isEqualTo(2);
      }
      assertThat(bench.slave.coilsOn()).as("a plan with a mistake, but safe").isEmpty();
    }
  }
}
