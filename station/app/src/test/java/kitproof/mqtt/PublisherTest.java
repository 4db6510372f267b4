package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Random;
import java.util.concurrent.atomic.AtomicBoolean;
import kitproof.driver.kit.RealClock;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.Fixture;
import kitproof.journal.Journal;
import kitproof.journal.ProcessLock;
import kitproof.journal.RandomEvents;
import kitproof.journal.RecordStore;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PublisherTest {
  private static final Duration LONG = Duration.ofSeconds(30);
  private static final Backoff AT_ONCE = new Backoff(Duration.ZERO, Duration.ZERO);
  @TempDir Path folder;
  private RecordStore store;

  @BeforeEach
  void openStore() throws IOException {
    store = new RecordStore(folder);
  }

  /** A broker that loses links, acknowledges late and in any order, and notes what it took. */
  private static final class Moody implements Link.Maker {
    private final Random random;
    private final int window;
    private final double trouble;
    final List<Message> taken = new ArrayList<>();
    int links;
    int widest;
    boolean left;

    Moody(long seed, int window, double trouble) {
      random = new Random(seed);
      this.window = window;
      this.trouble = trouble;
    }

    private synchronized boolean happens() {
      return random.nextDouble() < trouble;
    }

    @Override
    public Link connect(Message lastWill, Runnable stirred) throws IOException {
      if (happens()) {
        throw new IOException("refused");
      }
      links++;
      List<AtomicBoolean> open = new ArrayList<>();
      return new Link() {
        @Override
        public int window() {
          return window;
        }

        @Override
        public Receipt publish(Message message) throws IOException {
          if (happens()) {
            throw new IOException("gone while sending");
          }
          taken.add(message);
          AtomicBoolean receipt = new AtomicBoolean();
          open.add(receipt);
          widest = Math.max(widest, (int) open.stream().filter(r -> !r.get()).count());
          return receipt::get;
        }

        @Override
        public void check() throws IOException {
          if (happens()) {
            throw new IOException("gone with acknowledgements under way");
          }
          // some, in any order; the publisher asks again
          open.stream().filter(r -> random.nextBoolean()).forEach(r -> r.set(true));
          stirred.run();
        }

        @Override
        public void leave() {
          left = true;
        }

        @Override
        public void close() {}
      };
    }
  }

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void whateverTheBrokerDoesEachRunArrivesWholeAndInOrder(long seed) throws IOException {
    int window = 1 + (int) seed % 5;
    Moody broker = new Moody(seed, window, 0.05);
    Publisher publisher = publish(broker);
    write("20260101T0-A", seed, 60);
    write("20260101T1-B", seed + 100, 60);
    // a close gives the broker one last attempt only, so it may take more than one start
    boolean drained = publisher.close(LONG);
    for (int starts = 1; !drained && starts < 200; starts++) {
      drained = publish(broker).close(LONG);
    }
    assertThat(drained).isTrue();
    assertThat(broker.links).isGreaterThan(1);
    assertThat(broker.widest).isLessThanOrEqualTo(window);
    for (String run : List.of("20260101T0-A", "20260101T1-B")) {
      LinkedHashSet<String> ids = new LinkedHashSet<>();
      broker.taken.stream()
          .map(Message::id)
          .filter(id -> id.startsWith(run) && !id.endsWith("/status") && !id.endsWith("/opening"))
          .forEach(ids::add);
      List<String> expected = new ArrayList<>(BrokerIT.allIds(run, 62));
      expected.add(run + "/61/verdict");
      expected.add(run + "/61/record");
      expected.add(run + "/61/unit");
      assertThat(ids).containsExactlyElementsOf(expected);
    }
  }

  @Test
  void theLastStatusIsOfflineAndTheFirstIsOnline() throws IOException {
    Moody broker = new Moody(1, 8, 0);
    Publisher publisher = publish(broker);
    write(Fixture.RUN, 1, 3);
    assertThat(publisher.close(LONG)).isTrue();
    assertThat(broker.taken.get(0).payload()).contains("\"state\":\"online\"");
    assertThat(broker.taken.get(broker.taken.size() - 1).payload())
        .contains("\"state\":\"offline\"");
    assertThat(broker.left).isTrue();
  }

  @Test
  void aStartLooksPastARunThatToldNothingForWhatMayBeLive() throws IOException {
    Event unknown = new Event.OpeningTold(SafeToOpen.UNKNOWN, "treat as live");
    append("20260101T0-A", unknown);
    append("20260101T1-B", new Event.RunEnded(Verdict.ERROR, "no mains", List.of()));
    Moody broker = new Moody(1, 8, 0);
    assertThat(publish(broker).close(LONG)).isTrue();
    assertThat(broker.taken.get(0).payload())
        .contains("\"state\":\"online\"")
        .contains("\"safeToOpen\":\"unknown\"");
  }

  @Test
  void theWriterNeverWaitsForABrokerThatTakesNothing() throws IOException {
    Moody deaf = new Moody(1, 4, 0);
    Link.Maker maker =
        (will, stirred) -> {
          Link link = deaf.connect(will, stirred);
          return new Link() {
            @Override
            public int window() {
              return 4;
            }

            @Override
            public Receipt publish(Message message) throws IOException {
              link.publish(message);
              return () -> false;
            }

            @Override
            public void check() {}

            @Override
            public void leave() {
              link.leave();
            }

            @Override
            public void close() {}
          };
        };
    Publisher publisher = publish(maker);
    write(Fixture.RUN, 1, 200);
    assertThat(publisher.close(Duration.ofMillis(200))).isFalse();
    assertThat(deaf.taken).hasSizeLessThanOrEqualTo(4);
    assertThat(deaf.left).as("else nobody would tell that the station is gone").isFalse();
    assertThat(store.cursor("r", store.journalFile(Fixture.RUN)).next()).isZero();
  }

  @Test
  void aJournalThatCannotBeReadIsSaidAndDoesNotStopTheOthers() throws IOException {
    Files.writeString(store.journalFile("20250101T0-damaged"), "{}\n");
    write(Fixture.RUN, 1, 3);
    Moody broker = new Moody(1, 8, 0);
    Publisher publisher = publish(broker);
    assertThat(publisher.close(LONG)).isTrue();
    assertThat(publisher.trouble().orElse("")).contains("20250101T0-damaged").contains("line 1");
    assertThat(broker.taken).extracting(Message::id).contains(Fixture.RUN + "/4/unit");
  }

  @Test
  void whileAnotherOnePublishesFromTheFolderItWaitsAndSaysSo() throws IOException {
    write(Fixture.RUN, 1, 3);
    Moody broker = new Moody(1, 8, 0);
    try (ProcessLock other = store.lockReader("r").orElseThrow()) {
      Publisher publisher = publish(broker);
      assertThat(publisher.close(LONG)).isFalse();
      assertThat(publisher.trouble().orElse("")).contains("another program is publishing");
    }
    assertThat(broker.taken).isEmpty();
  }

  @Test
  void ofASimulatedBenchItSaysWhenARunEndedByTheCalendar() throws IOException {
    write(Fixture.RUN, 1, 3); // at the epoch, by the bench
    Instant ended = Instant.parse("2026-11-25T10:00:00Z");
    Files.setLastModifiedTime(store.journalFile(Fixture.RUN), FileTime.from(ended));
    Moody broker = new Moody(1, 8, 0);
    Outlook outlook = new Outlook(12, "another batch", Outlook.MEASURED, true);
    assertThat(publish(broker, outlook).close(LONG)).isTrue();
    for (String which : List.of("/verdict", "/record")) {
      String payload =
          broker.taken.stream()
              .filter(message -> message.id().endsWith(which))
              .findFirst()
              .orElseThrow()
              .payload();
      assertThat(payload).contains("\"finished\":\"" + ended + "\"").doesNotContain("planned");
    }
    Moody other = new Moody(1, 8, 0);
    try (Publisher real =
        new Publisher(store, "s", station(), Outlook.UNKNOWN, other, AT_ONCE, new RealClock())) {
      assertThat(real.close(LONG)).isTrue();
    }
    assertThat(other.taken).noneMatch(message -> message.payload().contains("finished"));
  }

  @Test
  void aRunOfTheCheckStandardIsToldAsOne() throws IOException {
    write(Fixture.RUN, 1, 3);
    Event.RunStarted started =
        (Event.RunStarted) new RandomEvents(1).run(Fixture.RUN, 3).get(0).event();
    Moody broker = new Moody(1, 8, 0);
    assertThat(publish(broker, Outlook.UNKNOWN.checkedBy(started.unit())).close(LONG)).isTrue();
    assertThat(broker.taken)
        .filteredOn(m -> m.id().endsWith("/verdict") || m.id().endsWith("/record"))
        .hasSize(2)
        .allMatch(message -> message.payload().contains("\"check\":true"));
    Moody other = new Moody(1, 8, 0);
    Outlook another = Outlook.UNKNOWN.checkedBy("CS-01");
    try (Publisher unit =
        new Publisher(store, "s", station(), another, other, AT_ONCE, new RealClock())) {
      assertThat(unit.close(LONG)).isTrue();
    }
    assertThat(other.taken).isNotEmpty().noneMatch(m -> m.payload().contains("\"check\""));
  }

  private static Station station() {
    return new Station("attic", "bench-1");
  }

  private Publisher publish(Link.Maker maker) {
    return publish(maker, Outlook.UNKNOWN);
  }

  private Publisher publish(Link.Maker maker, Outlook outlook) {
    return new Publisher(store, "r", station(), outlook, maker, AT_ONCE, new RealClock());
  }

  /** A run that tells just this after its start. */
  private void append(String run, Event... events) throws IOException {
    try (Journal journal = store.begin(run, () -> Instant.EPOCH)) {
      journal.append(new RandomEvents(1).run(run, 0).get(0).event());
      for (Event event : events) {
        journal.append(event);
      }
    }
  }

  private void write(String run, long seed, int between) throws IOException {
    try (Journal journal = store.begin(run, () -> Instant.EPOCH)) {
      for (Entry entry : new RandomEvents(seed).run(run, between)) {
        journal.append(entry.event());
      }
    }
  }
}
