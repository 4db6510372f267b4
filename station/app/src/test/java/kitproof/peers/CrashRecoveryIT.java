package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
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
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.event.Verdict;
import kitproof.journal.History;
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
 * Two of the benches are at it side by side; on each every station is the next start after the one
 * before: what it must find and put in order is what the last kill left.
 */
class CrashRecoveryIT {
  private static final int KILLS = 200;
  private static final int SIDE_BY_SIDE = 2;

  /** A start looks through all that its bench has on record, so none has too much. */
  private static final int BENCHES = 8;

  private static final Duration LONG = Duration.ofMinutes(2);
  private static final Pattern ENTRY = Pattern.compile("\"id\":\"([^\"]*-LN12-001/[0-9]+)\"");

  @TempDir private Path folder;

  /** What one station said before it was killed. */
  private record Life(List<String> flushed, String found, String safe) {}

  /** What was seen of one bench. */
  private record Seen(int energised, Set<String> flushed, Set<String> cutShort) {}

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
      int energised = seen.stream().mapToInt(Seen::energised).sum();
      System.out.printf(
          Locale.ROOT,
          "%d kills, %d with relays left on, %d runs aborted of %d, %d entries, %d told again%n",
          KILLS,
          energised,
          aborted,
          runs,
          entries.size(),
          published.values().stream().filter(times -> times > 1).count());
      assertThat(aborted).isGreaterThan(KILLS / 3);
      assertThat(energised).isGreaterThan(KILLS / 10);
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

  /** Ready to be started; its first life, which ends by itself, is not among those looked at. */
  private SharedClasses victim(String broker) throws IOException, InterruptedException {
    Path own = Files.createDirectories(folder.resolve("first"));
    List<String> once = new ArrayList<>(arguments(own, "20261124T100000", broker, "first"));
    once.add("1");
    return new SharedClasses(own, CrashVictim.class, once);
  }

  private Seen bench(int bench, SharedClasses victim, String broker)
      throws IOException, InterruptedException {
    Path own = Files.createDirectories(folder(bench));
    int energised = 0;
    Set<String> flushed = new TreeSet<>();
    Set<String> cutShort = new HashSet<>();
    for (int kill = bench; kill < KILLS; kill += BENCHES) {
      String names =
          String.format(Locale.ROOT, "20261125T1%d%02d%02d", bench, kill / 60, kill % 60);
      Life life = live(victim.command(arguments(own, names, broker, "bench-" + bench)), kill);
      assertThat(life.safe).as("kill %d: %s", kill, life).isIn("safe []", "");
      if (!life.found.isEmpty() && !life.found.equals("found []")) {
        energised++;
      }
      if (!life.flushed.isEmpty()) {
        String last = life.flushed.get(life.flushed.size() - 1);
        cutShort.add(last.substring(0, last.lastIndexOf('/')));
      }
      flushed.addAll(life.flushed);
    }
    return new Seen(energised, flushed, cutShort);
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
    assertThat(entries).as("no flushed event is lost").containsAll(seen.flushed);
    List<History.Attempt> history = History.of(store.folder(), "Linnet 12", "LN12-001");
    assertThat(history.stream().map(History.Attempt::run))
        .as("every start is in the unit's history")
        .containsAll(seen.cutShort);
    assertThat(
            history.stream()
                .filter(attempt -> attempt.verdict() == Verdict.ABORTED)
                .map(History.Attempt::run))
        .as("those that were interrupted, as aborted")
        .containsExactlyInAnyOrderElementsOf(aborted);
    // The others of those in which a kill came had told their end already.
    for (String run : seen.cutShort) {
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

  /** Starts a station, kills it after some of its lines and a little more, and reads the rest. */
  private static Life live(List<String> command, int kill)
      throws IOException, InterruptedException {
    Random random = new Random(kill);
    Process station = new ProcessBuilder(command).redirectErrorStream(true).start();
    int lines = 1 + random.nextInt(40);
    long more = random.nextInt(3_000_000);
    List<String> printed = new ArrayList<>();
    boolean killed = false;
    try (BufferedReader out = station.inputReader(StandardCharsets.UTF_8)) {
      for (String line = out.readLine(); line != null; line = out.readLine()) {
        printed.add(line);
        if (printed.size() >= lines && !killed) {
          LockSupport.parkNanos(more);
          station.destroyForcibly();
          killed = true;
        }
      }
    } catch (IOException closedByTheKill) {
      assertThat(killed).isTrue();
    }
    assertThat(station.waitFor(60, TimeUnit.SECONDS)).isTrue();
    assertThat(killed).as("killed, not ended: %s", printed).isTrue();
    return new Life(
        printed.stream().filter(l -> l.matches(".*-LN12-001/[0-9]+")).toList(),
        printed.stream().filter(l -> l.startsWith("found ")).findFirst().orElse(""),
        printed.stream().filter(l -> l.startsWith("safe ")).findFirst().orElse(""));
  }
}
