package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import kitproof.board.Across;
import kitproof.board.BatchKey;
import kitproof.board.Board;
import kitproof.board.Sender;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.mqtt.Listener;
import kitproof.mqtt.Topics;
import kitproof.peer.Mosquitto;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A board that starts when much has happened: what makes it right at once is the order in which a
 * real broker tells it, whatever the machine's speed. Seconds are measured in the benchmark.
 */
class LateBoardIT {
  private static final int UNITS = 200;
  @TempDir Path folder;

  private record Heard(String topic, byte[] payload) {}

  @Test
  void allVerdictsComeBeforeAnyRecordAndMakeTheOverviewComplete() throws Exception {
    List<Heard> heard = Collections.synchronizedList(new ArrayList<>());
    Listener.Ear ear =
        new Listener.Ear() {
          @Override
          public void message(String topic, byte[] payload) {
            heard.add(new Heard(topic, payload));
          }

          @Override
          public void link(@Nullable String trouble) {}
        };
    try (Mosquitto broker = Mosquitto.inMemory(folder).start()) {
      try (Teller teller = new Teller(broker.port())) {
        Sender sender = new Sender("bench-1");
        for (int i = 1; i <= UNITS; i++) {
          sender.unit("U" + i, i, 0.5e-3);
        }
        teller.tell(sender.running("next", UNITS + 1).retained());
      }
      BrokerAddress address = new BrokerAddress(false, "127.0.0.1", broker.port());
      try (Listener listener = Listener.start(address, Credentials.NONE, Topics.DASHBOARD, ear)) {
        await().atMost(Duration.ofSeconds(30)).until(() -> heard.size() == 1 + 2 * UNITS);
      }
    }
    assertThat(heard.get(0).topic).endsWith("/status");
    assertThat(heard.subList(1, 1 + UNITS)).allMatch(one -> one.topic.contains("/verdict/"));
    assertThat(heard.subList(1 + UNITS, heard.size()))
        .allMatch(one -> one.topic.contains("/record/"));

    Board board = new Board(Instant::now);
    heard.subList(0, 1 + UNITS).forEach(one -> board.message(one.topic, one.payload));
    var overview = board.overview(null, 0);
    assertThat(overview.batch()).isNotNull();
    assertThat(overview.batch().tested()).isEqualTo(UNITS);
    assertThat(overview.stations()).hasSize(1);
    heard.subList(1 + UNITS, heard.size()).forEach(one -> board.message(one.topic, one.payload));
    assertThat(board.overview(null, 0).batch())
        .usingRecursiveComparison()
        .ignoringFields("ends") // from the time of asking on
        .isEqualTo(overview.batch());
    BatchKey batch = new BatchKey("attic", "linnet-12", "pilot");
    assertThat(board.across(batch, Across.of("hum", null, 0)))
        .get()
        .extracting("units")
        .isEqualTo(UNITS);
  }
}
