package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.time.Instant;
import kitproof.event.Verdict;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.journal.RunRecord;

/** Runs that are cut short in the middle of many steps, and what is left of them. */
final class Aftermath {
  /** A second and a half of short steps at full mains, each of which is journalled. */
  static final String SHORT_STEPS = shortSteps();

  private Aftermath() {}

  static String shortSteps() {
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
  static int nobody() throws IOException {
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return taken.getLocalPort();
    }
  }

  /** What the program said last. */
  static String lastLine(Program program) throws IOException {
    String printed = program.printed();
    String last = printed.strip().lines().reduce((a, b) -> b).orElse("");
    assertThat(last).as(printed).startsWith("kitproof: ");
    return FaultTable.plain(last);
  }

  /** What the next start makes of the run that was left without its end. */
  static RunRecord recovered(Scene scene, String unit) throws IOException {
    assertThat(Recovery.run(new RecordStore(scene.records()), Instant::now))
        .hasSize(1)
        .allMatch(done -> done.action() != Recovery.Action.FAILED);
    return scene.record(unit);
  }

  static String laterSeen(RunRecord record) {
    assertThat(record.verdict()).isEqualTo(Verdict.ABORTED);
    assertThat(record.reason()).isEqualTo(Recovery.REASON);
    FaultTable.complete(record);
    return "its record then: aborted, “" + record.reason() + "”";
  }
}
