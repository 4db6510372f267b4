package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import kitproof.event.Verdict;
import kitproof.journal.History;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.journal.RunRecord;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Two hundred stations killed with SIGKILL at moments made by chance, each of which is the next
 * start after the one before: what it must find and put in order is what the last kill left.
 */
class CrashRecoveryIT {
  private static final int KILLS = 200;

  @TempDir private Path folder;

  /** What one station said before it was killed. */
  private record Life(List<String> flushed, List<String> recovered, String found, String safe) {}

  @Test
  @DisplayName("200 kills: relays found on are put at rest, every flushed event is on record")
  void killed() throws Exception {
    Path records = folder.resolve("records");
    Path relays = folder.resolve("relays");
    Set<String> flushed = new TreeSet<>();
    Set<String> cutShort = new HashSet<>();
    int energised = 0;
    for (int kill = 1; kill <= KILLS; kill++) {
      Life life = live(records, relays, kill);
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
    RecordStore store = new RecordStore(records);
    assertThat(Recovery.run(store, () -> java.time.Instant.EPOCH))
        .allMatch(d -> d.action() != Recovery.Action.FAILED);
    Set<String> recorded = new HashSet<>();
    int aborted = 0;
    for (Path journal : store.journalFiles()) {
      RunRecord record = RecordDocument.read(store.recordFile(store.fold(journal).run()));
      record.events().forEach(entry -> recorded.add(entry.id()));
      assertThat(record.verdict()).as(record.run()).isIn(Verdict.PASS, Verdict.ABORTED);
      if (record.verdict() == Verdict.ABORTED) {
        assertThat(record.reason()).isEqualTo(Recovery.REASON);
        aborted++;
      }
    }
    assertThat(recorded).as("no flushed event is lost").containsAll(flushed);
    List<History.Attempt> history = History.of(records, "Linnet 12", "LN12-001");
    assertThat(history.stream().map(History.Attempt::run))
        .as("every start is in the unit's history")
        .containsAll(cutShort);
    System.out.printf(
        Locale.ROOT,
        "%d kills, %d with relays left on, %d runs aborted of %d, %d events flushed%n",
        KILLS,
        energised,
        aborted,
        history.size(),
        flushed.size());
    assertThat(aborted).isGreaterThan(KILLS / 3);
    assertThat(energised).isGreaterThan(KILLS / 10);
  }

  /** Starts a station, kills it after some of its lines and a little more, and reads the rest. */
  private Life live(Path records, Path relays, int kill) throws IOException, InterruptedException {
    Random random = new Random(kill);
    Process station =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx64m",
                "-XX:+UseSerialGC",
                "-XX:TieredStopAtLevel=1",
                "-Xshare:auto",
                "-cp",
                System.getProperty("java.class.path"),
                CrashVictim.class.getName(),
                records.toString(),
                relays.toString(),
                String.format(Locale.ROOT, "20261125T10%02d%02d", kill / 60, kill % 60))
            .redirectErrorStream(true)
            .start();
    int lines = 1 + random.nextInt(40);
    long more = random.nextInt(3_000_000);
    List<String> printed = new ArrayList<>();
    boolean killed = false;
    try (BufferedReader out = station.inputReader(StandardCharsets.UTF_8)) {
      for (String line = out.readLine(); line != null; line = out.readLine()) {
        printed.add(line);
        if (printed.size() >= lines && !killed) {
          java.util.concurrent.locks.LockSupport.parkNanos(more);
          station.destroyForcibly();
          killed = true;
        }
      }
    } catch (IOException closedByTheKill) {
      assertThat(killed).isTrue();
    }
    assertThat(station.waitFor(60, java.util.concurrent.TimeUnit.SECONDS)).isTrue();
    assertThat(killed).as("killed, not ended: %s", printed).isTrue();
    return new Life(
        printed.stream().filter(l -> l.matches(".*-LN12-001/[0-9]+")).toList(),
        printed.stream().filter(l -> l.startsWith("recovered ")).toList(),
        printed.stream().filter(l -> l.startsWith("found ")).findFirst().orElse(""),
        printed.stream().filter(l -> l.startsWith("safe ")).findFirst().orElse(""));
  }
}
