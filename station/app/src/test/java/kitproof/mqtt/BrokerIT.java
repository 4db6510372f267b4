package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.LongStream;
import kitproof.driver.kit.RealClock;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.Fixture;
import kitproof.journal.Journal;
import kitproof.journal.RandomEvents;
import kitproof.journal.RecordStore;
import kitproof.peer.Mosquitto;
import kitproof.peer.Mosquitto.Received;
import kitproof.peer.Mosquitto.Subscriber;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The publisher against Mosquitto (another's broker) with mosquitto_sub as the reader. */
class BrokerIT {
  private static final Duration LONG = Duration.ofMinutes(2);
  private static final Station BENCH = new Station("attic", "bench-1");
  private static final InstantSource CLOCK =
      InstantSource.fixed(Instant.parse("2026-11-25T10:15:00.123Z"));
  @TempDir Path folder;
  private RecordStore store;

  @BeforeEach
  void openStore() throws IOException {
    store = new RecordStore(folder.resolve("records"));
  }

  @Test
  void mosquittoSubReceivesEveryEntryAndTheVerdict() throws IOException {
    try (Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start();
        Subscriber subscriber = broker.subscribe("kitproof/#");
        Publisher publisher = publish(broker)) {
      write(Fixture.RUN, Fixture.events());
      List<Received> received = subscriber.await(saw(Fixture.RUN + "/11/unit"), LONG);
      assertThat(ids(received, Fixture.RUN)).isEqualTo(allIds(Fixture.RUN, 12));
      assertThat(last(received, "kitproof/1/attic/unit/linnet-12/LN12-001"))
          .containsEntry("verdict", "fail");
      assertThat(publisher.close(LONG)).isTrue();
      assertThat(publisher.trouble()).isEmpty();
      received = subscriber.await(saw("/end"), LONG);
      assertThat(last(received, "kitproof/1/attic/bench-1/status"))
          .containsEntry("state", "offline");
      try (Subscriber late = broker.subscribe("kitproof/1/attic/unit/#")) {
        assertThat(late.await(saw(Fixture.RUN + "/11/unit"), LONG))
            .singleElement()
            .satisfies(m -> assertThat(m.retained()).isTrue());
      }
    }
  }

  @Test
  void aBrokerStoppedInTheMiddleAndStartedAgainGetsEverythingInOrder() throws IOException {
    try (Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start();
        Subscriber subscriber = broker.subscribe("kitproof/#");
        Publisher publisher = publish(broker)) {
      List<String> runs = List.of("20260101T0-A", "20260101T1-B");
      for (String run : runs) {
        List<Entry> entries = new RandomEvents(run.hashCode()).run(run, 400);
        try (Journal journal = store.begin(run, CLOCK)) {
          for (Entry entry : entries) {
            if (entry.sequence() == 150 || entry.sequence() == 300) {
              subscriber.await(saw(run + "/" + (entry.sequence() - 100)), LONG);
              broker.stop();
            }
            if (entry.sequence() == 200 || entry.sequence() == 350) {
              broker.start();
            }
            journal.append(entry.event());
          }
        }
      }
      List<Received> received = subscriber.await(saw("20260101T1-B/401/unit"), LONG);
      for (String run : runs) {
        assertThat(missing(received, run, 402)).as(run + ": never came").isEmpty();
        assertThat(ids(received, run)).as(run).isEqualTo(allIds(run, 402));
      }
      assertThat(publisher.close(LONG)).isTrue();
    }
  }

  @Test
  void aBrokerAwayAtTheStartGetsEverythingWhenItComes() throws IOException {
    Mosquitto broker = Mosquitto.open(folder.resolve("broker"));
    try (Publisher publisher = publish(broker)) {
      write(Fixture.RUN, Fixture.events());
      assertThat(publisher.trouble()).isPresent();
      try (broker;
          Subscriber subscriber = broker.start().subscribe("kitproof/#")) {
        List<Received> received = subscriber.await(saw(Fixture.RUN + "/11/unit"), LONG);
        assertThat(ids(received, Fixture.RUN)).isEqualTo(allIds(Fixture.RUN, 12));
        assertThat(publisher.close(LONG)).isTrue();
      }
    }
  }

  @Test
  void whatOneStartCouldNotTellTheNextOneDoesAndNothingIsToldAgain() throws IOException {
    try (Mosquitto broker = Mosquitto.open(folder.resolve("broker"))) {
      write(Fixture.RUN, Fixture.events());
      try (Publisher away = publish(broker)) {
        assertThat(away.close(Duration.ofSeconds(5))).isFalse();
      }
      Subscriber subscriber = broker.start().subscribe("kitproof/#");
      try (Publisher second = publish(broker)) {
        subscriber.await(saw(Fixture.RUN + "/11/unit"), LONG);
        assertThat(second.close(LONG)).isTrue();
      }
      try (Publisher third = publish(broker)) {
        write("20270101T0-next", new RandomEvents(3).run("20270101T0-next", 5));
        subscriber.await(saw("20270101T0-next/6/unit"), LONG);
        assertThat(third.close(LONG)).isTrue();
      }
      List<String> run =
          subscriber.received().stream()
              .map(BrokerIT::id)
              .filter(id -> id.startsWith(Fixture.RUN) && !id.endsWith("/status"))
              .toList();
      assertThat(run)
          .hasSize(15)
          .doesNotHaveDuplicates(); // 12 entries, the record and two verdicts
    }
  }

  @Test
  void aWrongPasswordIsSaidClearlyAndTheRunDoesNotNotice() throws IOException {
    try (Mosquitto broker = Mosquitto.withUser(folder.resolve("broker"), "bench", "right").start();
        Subscriber subscriber = broker.subscribe("kitproof/#")) {
      try (Publisher refused =
          publish(broker, new Credentials("bench", "wrong", null), false, "127.0.0.1")) {
        write(Fixture.RUN, Fixture.events());
        assertThat(refused.close(Duration.ofSeconds(5))).isFalse();
        assertThat(refused.trouble().orElse(""))
            .contains("bench")
            .contains("KITPROOF_MQTT_USER")
            .doesNotContain("wrong");
      }
      try (Publisher admitted =
          publish(broker, new Credentials("bench", "right", null), false, "127.0.0.1")) {
        List<Received> received = subscriber.await(saw(Fixture.RUN + "/11/unit"), LONG);
        assertThat(ids(received, Fixture.RUN)).isEqualTo(allIds(Fixture.RUN, 12));
        assertThat(admitted.trouble()).isEmpty();
      }
    }
  }

  @Test
  void anEncryptedBrokerIsTrustedOnlyByItsAuthorityAndName() throws IOException {
    try (Mosquitto broker = Mosquitto.withTls(folder.resolve("broker"), "localhost").start();
        Subscriber subscriber = broker.subscribe("kitproof/#")) {
      write(Fixture.RUN, Fixture.events());
      Credentials trusting = new Credentials(null, null, broker.authority());
      try (Publisher refused = publish(broker, Credentials.NONE, true, "localhost")) {
        assertThat(refused.close(Duration.ofSeconds(5))).isFalse();
        assertThat(refused.trouble().orElse("")).contains("not trusted");
      }
      try (Publisher otherName = publish(broker, trusting, true, "127.0.0.1")) {
        assertThat(otherName.close(Duration.ofSeconds(5))).isFalse();
        assertThat(otherName.trouble().orElse("")).contains("not trusted");
      }
      assertThat(subscriber.received()).isEmpty();
      try (Publisher right = publish(broker, trusting, true, "localhost")) {
        List<Received> received = subscriber.await(saw(Fixture.RUN + "/11/unit"), LONG);
        assertThat(ids(received, Fixture.RUN)).isEqualTo(allIds(Fixture.RUN, 12));
        assertThat(right.close(LONG)).isTrue();
      }
    }
  }

  private Publisher publish(Mosquitto broker) {
    return publish(broker, Credentials.NONE, false, "127.0.0.1");
  }

  private Publisher publish(
      Mosquitto broker, Credentials credentials, boolean encrypted, String host) {
    BrokerAddress address = new BrokerAddress(encrypted, host, broker.port());
    return Publisher.start(store, "broker", BENCH, address, credentials, new RealClock());
  }

  private void write(String run, List<?> events) throws IOException {
    try (Journal journal = store.begin(run, CLOCK)) {
      for (Object event : events) {
        journal.append(event instanceof Entry entry ? entry.event() : (Event) event);
      }
    }
  }

  private static Predicate<List<Received>> saw(String endOfId) {
    String id = endOfId + "\",\"";
    return received -> received.stream().anyMatch(m -> m.payload().contains(id));
  }

  static JsonNode json(Received message) {
    try {
      return new ObjectMapper().readTree(message.payload());
    } catch (IOException e) {
      throw new UncheckedIOException(message.payload(), e);
    }
  }

  static String id(Received message) {
    return json(message).path("id").asText();
  }

  private static Map<String, String> last(List<Received> received, String topic) {
    Map<String, String> fields = new HashMap<>();
    received.stream()
        .filter(m -> m.topic().equals(topic))
        .reduce((a, b) -> b)
        .ifPresent(
            m -> json(m).properties().forEach(f -> fields.put(f.getKey(), f.getValue().asText())));
    return fields;
  }

  /** The ids of a run's entries in the order they first came. */
  static List<String> ids(List<Received> received, String run) {
    Set<String> ids = new LinkedHashSet<>();
    received.stream()
        .filter(m -> m.payload().contains(run))
        .map(BrokerIT::id)
        .filter(id -> id.matches(java.util.regex.Pattern.quote(run) + "/\\d+"))
        .forEach(ids::add);
    return new ArrayList<>(ids);
  }

  private static List<String> missing(List<Received> received, String run, int entries) {
    List<String> missing = new ArrayList<>(allIds(run, entries));
    missing.removeAll(ids(received, run));
    return missing;
  }

  static List<String> allIds(String run, int entries) {
    return LongStream.range(0, entries).mapToObj(n -> run + "/" + n).toList();
  }
}
