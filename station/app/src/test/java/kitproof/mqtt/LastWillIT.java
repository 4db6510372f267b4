package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.concurrent.atomic.AtomicReference;
import kitproof.peer.Mosquitto;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A real broker says since when a station that is gone without a word is gone. */
class LastWillIT {
  private static final Station STATION = new Station("attic", "bench-1");
  private static final Duration PATIENCE = Duration.ofSeconds(30);

  @TempDir Path folder;

  private record Heard(String payload, Duration age) {}

  /** What somebody hears who begins to listen now. */
  private static Heard heard(BrokerAddress address) {
    AtomicReference<Heard> heard = new AtomicReference<>();
    Listener.Ear ear =
        new Listener.Ear() {
          @Override
          public void message(String topic, byte[] payload) {}

          @Override
          public void will(String topic, byte[] payload, Duration age) {
            heard.set(new Heard(new String(payload, StandardCharsets.UTF_8), age));
          }

          @Override
          public void link(@Nullable String trouble) {}
        };
    try (Listener listener = Listener.start(address, Credentials.NONE, Topics.DASHBOARD, ear)) {
      await().atMost(PATIENCE).until(() -> heard.get() != null);
    }
    return heard.get();
  }

  @Test
  void whoBeginsToListenLaterIsToldHowLongAgo() throws Exception {
    try (Mosquitto broker = Mosquitto.inMemory(folder).start()) {
      BrokerAddress address = new BrokerAddress(false, "127.0.0.1", broker.port());
      PahoLink.Maker maker = new PahoLink.Maker(address, Credentials.NONE, STATION);
      maker.connect(Status.lastWill(STATION, "x/will"), () -> {}).close(); // without leave
      Heard first = heard(address);
      assertThat(first.payload).contains("\"state\":\"offline\"", "gone without a word");
      Duration more = Duration.ofSeconds(2);
      await().atMost(PATIENCE).until(() -> heard(address).age.compareTo(first.age.plus(more)) >= 0);
      assertThat(first.age).isLessThan(PATIENCE);
    }
  }
}
