package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Mosquitto;
import kitproof.peer.Mosquitto.Received;
import kitproof.peer.Mosquitto.Subscriber;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Mosquitto killed in the middle of a run and started again before the run is over. */
class BrokerAwayIT {
  private static final Duration LONG = Duration.ofSeconds(60);
  private static final int STEPS = 60;
  @TempDir private Path folder;

  @Test
  @DisplayName(
      "The run goes on meanwhile; a client receives every entry, in order, and the verdict")
  void killedAndRestarted() throws Exception {
    try (PtyPair cable = PtyPair.open();
        ScpiPeer meter = ScpiPeer.onPty(cable.far());
        Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start();
        Subscriber subscriber = broker.subscribe("kitproof/#")) {
      meter.value("VOLT:DC", 6.3);
      Scene scene = scene(cable).broker(broker.port());
      try (Program program = scene.start("LN12-010")) {
        subscriber.await(r -> countResults(r) >= 5, LONG);
        broker.kill();
        int toldBefore = (int) countResults(subscriber.received());
        program.awaitPrinted((toldBefore + 15) + "/" + STEPS + "  heater ");
        assertThat(program.printed())
            .as("the run is still going on when the broker comes back")
            .doesNotContain(STEPS + "/" + STEPS + "  heater ");
        broker.start();

        RunRecord record = scene.ended(program, "LN12-010", Verdict.PASS);

        String last = record.run() + "/" + (record.events().size() - 1) + "/unit";
        List<Received> received = subscriber.await(r -> Messages.ids(r).contains(last), LONG);
        assertThat(Messages.ofRun(received, record.run())).isEqualTo(Messages.all(record));
        assertThat(Messages.text(last(received, "/LN12-010"), "verdict")).isEqualTo("pass");
        assertThat(record.notices()).allMatch(n -> n.startsWith("UNCALIBRATED"));
      }
    }
  }

  private Scene scene(PtyPair cable) throws Exception {
    StringBuilder steps = new StringBuilder("steps:\n");
    StringBuilder limits = new StringBuilder();
    for (int i = 0; i < STEPS; i++) {
      steps.append(
          "  - {step: heater %d, procedure: reading, meter: hv-meter, function: hv, result: heater %d, count: 3, every: 100 ms}%n"
              .formatted(i, i));
      limits.append("  - {result: heater %d, low: 6 V, high: 6.6 V}%n".formatted(i));
    }
    return new Scene(folder)
        .bench("roles:\n" + Roles.meter(cable.near()))
        .plan(steps.toString())
        .limits(limits.toString());
  }

  private static long countResults(List<Received> received) {
    return received.stream().filter(m -> m.topic().endsWith("/result")).count();
  }

  private static Received last(List<Received> received, String endOfTopic) {
    return received.stream()
        .filter(m -> m.topic().endsWith(endOfTopic))
        .reduce((a, b) -> b)
        .orElseThrow();
  }
}
