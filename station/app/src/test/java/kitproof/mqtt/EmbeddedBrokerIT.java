package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import kitproof.driver.kit.RealClock;
import kitproof.event.Event;
import kitproof.journal.Fixture;
import kitproof.journal.Journal;
import kitproof.journal.RecordStore;
import kitproof.peer.Mosquitto.Received;
import kitproof.peer.Mosquitto.Subscriber;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The embedded broker, read by mosquitto_sub (another's client). */
class EmbeddedBrokerIT {
  private static final Duration LONG = Duration.ofSeconds(30);
  private static final Station BENCH = new Station("attic", "bench-1");
  @TempDir Path folder;

  @Test
  void mosquittoSubReceivesTheVerdictFromABrokerInMemory() throws IOException {
    try (EmbeddedBroker broker = EmbeddedBroker.start(null, 0);
        Subscriber subscriber = subscribe(broker, 0)) {
      RecordStore store = fixture();
      Publisher publisher = publish(store, broker);
      List<Received> received = subscriber.await(sawVerdict(), LONG);
      assertThat(BrokerIT.ids(received, Fixture.RUN)).isEqualTo(BrokerIT.allIds(Fixture.RUN, 12));
      assertThat(publisher.close(LONG)).isTrue();
      try (Subscriber late = subscribe(broker, 1)) {
        assertThat(late.await(sawVerdict(), LONG)).anyMatch(Received::retained);
      }
    }
  }

  @Test
  void withAFolderTheLastVerdictOutlivesARestart() throws IOException {
    try (EmbeddedBroker broker = EmbeddedBroker.start(folder.resolve("broker"), 0)) {
      assertThat(publish(fixture(), broker).close(LONG)).isTrue();
    }
    try (EmbeddedBroker again = EmbeddedBroker.start(folder.resolve("broker"), 0);
        Subscriber late = subscribe(again, 0)) {
      assertThat(late.await(sawVerdict(), LONG)).anyMatch(Received::retained);
    }
  }

  @Test
  void aPortThatIsTakenIsSaid() throws IOException {
    try (EmbeddedBroker broker = EmbeddedBroker.start(null, 0)) {
      int port = broker.address().port();
      assertThatThrownBy(() -> EmbeddedBroker.start(null, port))
          .isInstanceOf(IOException.class)
          .hasMessageContaining("port " + port);
    }
  }

  @Test
  void itStartsSoonAndLeavesNoThreadThatKeepsTheProgram() throws IOException {
    long before = System.nanoTime();
    EmbeddedBroker broker = EmbeddedBroker.start(folder.resolve("broker"), 0);
    Duration took = Duration.ofNanos(System.nanoTime() - before);
    broker.close();
    // 2 s is the aim on a quiet machine; the bound here is for a busy one
    assertThat(took).isLessThan(Duration.ofSeconds(8));
    assertThat(Thread.getAllStackTraces().keySet())
        .filteredOn(t -> !t.isDaemon() && t.isAlive() && t.getName().contains("ActiveMQ"))
        .isEmpty();
  }

  private RecordStore fixture() throws IOException {
    RecordStore store = new RecordStore(folder.resolve("records"));
    try (Journal journal = store.begin(Fixture.RUN, () -> Instant.EPOCH)) {
      for (Event event : Fixture.events()) {
        journal.append(event);
      }
    }
    return store;
  }

  private static Publisher publish(RecordStore store, EmbeddedBroker broker) {
    return Publisher.start(
        store, "embedded", BENCH, broker.address(), Credentials.NONE, new RealClock());
  }

  private Subscriber subscribe(EmbeddedBroker broker, int number) throws IOException {
    return Subscriber.start(broker.address().port(), List.of(), folder, number, "kitproof/#");
  }

  private static java.util.function.Predicate<List<Received>> sawVerdict() {
    return received -> received.stream().anyMatch(m -> BrokerIT.id(m).endsWith("/11/unit"));
  }
}
