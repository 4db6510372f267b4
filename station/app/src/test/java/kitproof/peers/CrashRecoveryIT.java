package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.function.Predicate;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.event.Entry;
import kitproof.event.Verdict;
import kitproof.journal.History;
import kitproof.journal.Journal;
import kitproof.journal.RandomEvents;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.journal.RunRecord;
import kitproof.mqtt.Publisher;
import kitproof.peer.Mosquitto;
import kitproof.peer.Mosquitto.Received;
import kitproof.peer.Mosquitto.Subscriber;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Two hundred stations killed with SIGKILL at moments made by chance, while they run and publish.
 * Four of the benches are at it side by side; on each every station is the next start after the one
 * before: what it must find and put in order is what the last kill left. What it has made of that
 * is looked at while the next one starts.
 */
class CrashRecoveryIT {
  private static final int KILLS = 200;
  private static final int SIDE_BY_SIDE = 4;

  /** A start looks through all that its bench has on record, so none has too much. */
  private static final int BENCHES = 8;

  private static final Duration LONG = Duration.ofMinutes(2);
  private static final Pattern ENTRY = Pattern.compile("\"id\":\"([^\"]*-LN12-001/[0-9]+)\"");

  @TempDir private Path folder;

  /** What was seen of one bench. */
  private record Seen(List<CrashLife> lives) {
    int count(Predicate<CrashLife> those) {
      return (int) lives.stream().filter(those).count();
    }

    Set<String> flushed() {
      Set<String> ids = new TreeSet<>();
      lives.forEach(life -> ids.addAll(life.flushed()));
      return ids;
    }

    Set<String> cutShort() {
      Set<String> runs = new HashSet<>();
      lives.forEach(life -> runs.add(life.cutShort()));
      runs.remove("");
      return runs;
    }
  }

  /** What its records say in the end. */
  private record Recorded(Set<String> entries, int runs, int aborted) {}

  @Test
  @DisplayName("200 kills: relays at rest, every flushed event on record and at the broker")
  void killed() throws Exception {
    try (Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start();
        Subscriber subscriber = broker.subscribe("kitproof/#")) {
      String address = "mqtt://127.0.0.1:" + broker.port();
      SharedClasses victim = victim(address);
      List<Seen> seen = new ArrayList<>();
      ExecutorService side = Executors.newFixedThreadPool(SIDE_BY_SIDE);
      try {
        List<Future<Seen>> benches = new ArrayList<>();
        for (int bench = 0; bench < BENCHES; bench++) {
          int own = bench;
          benches.add(side.submit(() -> bench(own, victim, address)));
        }
        for (Future<Seen> bench : benches) {
          seen.add(bench.get());
        }
      } finally {
        side.shutdownNow();
      }
      Set<String> entries = new HashSet<>();
      int runs = 0;
      int aborted = 0;
      for (int bench = 0; bench < BENCHES; bench++) {
        Recorded recorded = recorded(bench, seen.get(bench));
        publishTheRest(bench, address);
        entries.addAll(recorded.entries);
        runs += recorded.runs;
        aborted += recorded.aborted;
      }
      Map<String, Integer> published = awaitPublished(subscriber, entries);
      assertThat(published.keySet()).as("every entry has reached the broker").containsAll(entries);
      assertThat(entries).as("nothing that is not on record").containsAll(published.keySet());
      Seen all = new Seen(seen.stream().flatMap(one -> one.lives.stream()).toList());
      int energised = all.count(CrashLife::foundEnergised);
      System.out.printf(
          Locale.ROOT,
          "%d kills (%s, %d with a load switched), %d starts with relays left on, %d runs aborted"
              + " of %d, %d entries, %d told again%n",
          KILLS,
          Stream.of(CrashLife.Phase.values())
              .map(phase -> all.count(life -> life.phase() == phase) + " " + phase)
              .collect(Collectors.joining(", ")),
          all.count(CrashLife::loadSwitched),
          energised,
          aborted,
          runs,
          entries.size(),
          published.values().stream().filter(times -> times > 1).count());
      assertThat(aborted).isGreaterThan(KILLS / 3);
      assertThat(energised).isGreaterThan(KILLS / 10);
      for (CrashLife.Phase phase : CrashLife.Phase.values()) {
        assertThat(all.count(life -> life.phase() == phase))
            .as("kills %s", phase)
            .isGreaterThan(KILLS / 40);
      }
      assertThat(all.count(CrashLife::loadSwitched)).isPositive();
    }
  }

  private Path folder(int bench) {
    return folder.resolve("bench-" + bench);
  }

  private static List<String> arguments(Path own, String names, String broker, String station) {
    return List.of(
        own.resolve("records").toString(),
        own.resolve("relays").toString(),
        names,
        broker,
        station);
  }

  /**
   * Ready to be started; its first life, which ends by itself, is not among those looked at. As
   * later ones do, it finds a run that was cut short.
   */
  private SharedClasses victim(String broker) throws IOException, InterruptedException {
    Path own = Files.createDirectories(folder.resolve("first"));
    String cutShort = "20261124T090000.000Z-LN12-001";
    RecordStore store = new RecordStore(own.resolve("records"));
    try (Journal journal = store.begin(cutShort, () -> Instant.EPOCH)) {
      List<Entry> entries = new RandomEvents(1).run(cutShort, 20);
      for (Entry entry : entries.subList(0, entries.size() - 1)) {
        journal.append(entry.event());
      }
    }
    List<String> once = new ArrayList<>(arguments(own, "20261124T100000", broker, "first"));
    once.addAll(List.of("1", "0"));
    return new SharedClasses(own, CrashVictim.class, once);
  }

  private Seen bench(int bench, SharedClasses victim, String broker) throws Exception {
    Path own = Files.createDirectories(folder(bench));
    RecordStore store = new RecordStore(own.resolve("records"));
    List<CrashLife> lives = new ArrayList<>();
    List<CrashLife> open = new ArrayList<>();
    ExecutorService looking = Executors.newSingleThreadExecutor();
    List<Future<?>> looks = new ArrayList<>();
    try {
      for (int kill = bench; kill < KILLS; kill += BENCHES) {
        String names =
            String.format(Locale.ROOT, "20261125T1%d%02d%02d", bench, kill / 60, kill % 60);
        CrashLife life =
            CrashLife.lived(
                victim.command(arguments(own, names, broker, "bench-" + bench)),
                own.resolve("relays"),
                own.resolve("records/journals"),
                kill);
        lives.add(life);
        assertThat(life.safe()).as("kill %d: %s", kill, life).isIn("", "safe []");
        assertThat(life.endedUnsafely()).as("kill %d: %s", kill, life).isFalse();
        if (life.inOrder()) {
          List<CrashLife> before = List.copyOf(open);
          open.clear();
          looks.add(looking.submit(() -> putInOrder(store, before)));
        }
        open.add(life);
      }
      for (Future<?> look : looks) {
        look.get();
      }
    } finally {
      looking.shutdownNow();
    }
    return new Seen(lives);
  }

  /** What the first start that came so far has made of the lives before it. */
  private static Boolean putInOrder(RecordStore store, List<CrashLife> before) throws IOException {
    List<History.Attempt> history = History.of(store.folder(), "Linnet 12", "LN12-001");
    for (CrashLife life : before) {
      String run = life.cutShort();
      if (run.isEmpty()) {
        continue;
      }
      RunRecord record = RecordDocument.read(store.recordFile(run));
      boolean ended = record.verdict() == Verdict.PASS;
      assertThat(record.verdict()).as(run).isIn(Verdict.PASS, Verdict.ABORTED);
      assertThat(record.reason()).as(run).isEqualTo(ended ? "" : Recovery.REASON);
      List<String> ids = record.events().stream().map(Entry::id).toList();
      assertThat(ids)
          .as("no flushed event of %s is lost", run)
          .containsAll(
              life.flushed().stream().filter(id -> CrashLife.runOf(id).equals(run)).toList());
      assertThat(history)
          .as("%s in the unit's history", run)
          .anyMatch(a -> a.run().equals(run) && a.verdict() == record.verdict());
    }
    return true;
  }

  private Recorded recorded(int bench, Seen seen) throws IOException {
    RecordStore store = new RecordStore(folder(bench).resolve("records"));
    assertThat(Recovery.run(store, () -> Instant.EPOCH))
        .allMatch(d -> d.action() != Recovery.Action.FAILED);
    Set<String> entries = new HashSet<>();
    Set<String> aborted = new TreeSet<>();
    for (Path journal : store.journalFiles()) {
      RunRecord record = RecordDocument.read(store.recordFile(store.fold(journal).run()));
      record.events().forEach(entry -> entries.add(entry.id()));
      assertThat(record.verdict()).as(record.run()).isIn(Verdict.PASS, Verdict.ABORTED);
      if (record.verdict() == Verdict.ABORTED) {
        assertThat(record.reason()).isEqualTo(Recovery.REASON);
        aborted.add(record.run());
      }
    }
    assertThat(entries).as("no flushed event is lost").containsAll(seen.flushed());
    List<History.Attempt> history = History.of(store.folder(), "Linnet 12", "LN12-001");
    assertThat(history.stream().map(History.Attempt::run))
        .as("every start is in the unit's history")
        .containsAll(seen.cutShort());
    assertThat(
            history.stream()
                .filter(attempt -> attempt.verdict() == Verdict.ABORTED)
                .map(History.Attempt::run))
        .as("those that were interrupted, as aborted")
        .containsExactlyInAnyOrderElementsOf(aborted);
    // The others of those in which a kill came had told their end already.
    for (String run : seen.cutShort()) {
      RunRecord record = RecordDocument.read(store.recordFile(run));
      assertThat(aborted.contains(run) || record.verdict() == Verdict.PASS).as(run).isTrue();
    }
    return new Recorded(entries, history.size(), aborted.size());
  }

  /** What one more start would tell the broker. */
  private void publishTheRest(int bench, String broker) throws IOException {
    RecordStore store = new RecordStore(folder(bench).resolve("records"));
    try (Publisher publisher = CrashVictim.publisher(store, broker, "bench-" + bench)) {
      assertThat(publisher.close(LONG)).as("all is published: %s", publisher.trouble()).isTrue();
    }
  }

  /** How often each entry of these benches has come, as soon as all have; or what there is. */
  private static Map<String, Integer> awaitPublished(Subscriber subscriber, Set<String> entries) {
    Awaitility.await()
        .atMost(LONG)
        .pollInterval(Duration.ofMillis(200))
        .until(() -> published(subscriber).keySet().containsAll(entries));
    return published(subscriber);
  }

  private static Map<String, Integer> published(Subscriber subscriber) {
    Map<String, Integer> times = new HashMap<>();
    for (Received message : subscriber.received()) {
      Matcher id = ENTRY.matcher(message.payload());
      if (id.find() && id.group(1).startsWith("20261125T")) {
        times.merge(id.group(1), 1, Integer::sum);
      }
    }
    return times;
  }
}
