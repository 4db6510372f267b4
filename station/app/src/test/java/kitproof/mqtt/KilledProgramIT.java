package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.BooleanSupplier;
import kitproof.driver.kit.RealClock;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.journal.RunRecord;
import kitproof.peer.Mosquitto;
import kitproof.peer.Mosquitto.Received;
import kitproof.peer.Mosquitto.Subscriber;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Programs killed with SIGKILL while they run and publish, each followed by a recovery. */
class KilledProgramIT {
  private static final Duration LONG = Duration.ofMinutes(3);
  @TempDir Path folder;

  @Test
  void nothingFlushedIsLostAndNothingPublishedIsMissingFromTheRecords() throws Exception {
    RecordStore store = new RecordStore(folder.resolve("records"));
    Set<String> flushed = new TreeSet<>();
    try (Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start();
        Subscriber subscriber = broker.subscribe("kitproof/#")) {
      for (long seed = 1; seed <= 5; seed++) {
        // Of the others some are killed before they have even reached the broker.
        boolean onceTold = seed % 2 == 1;
        List<String> printed =
            runAndKill(
                broker,
                seed,
                () ->
                    !onceTold
                        || lastStatus(subscriber.received()).matches(".*\"(online|running)\".*"));
        flushed.addAll(printed);
        String cutShort = runOf(printed.get(printed.size() - 1));
        String offline = "\"state\":\"offline\"";
        subscriber.await(r -> lastStatus(r).contains(offline), LONG);
        assertThat(lastStatus(subscriber.received()))
            .as("seed %d: last will", seed)
            .contains(offline);

        List<Recovery.Recovered> done = Recovery.run(store, () -> Instant.EPOCH);
        assertThat(done)
            .as("seed %d", seed)
            .allMatch(d -> d.action() != Recovery.Action.FAILED)
            .filteredOn(d -> d.action() == Recovery.Action.ABORTED)
            .hasSizeLessThanOrEqualTo(1);
        RunRecord record = RecordDocument.read(store.recordFile(cutShort));
        // Some of what it printed before the kill is lost with its pipe, the run's end perhaps too.
        if (record.verdict() != Verdict.ABORTED) {
          assertThat(record.events().get(record.events().size() - 1).event())
              .as("seed %d", seed)
              .isInstanceOf(Event.RunEnded.class);
        }
      }
      Set<String> recorded = new TreeSet<>();
      List<RunRecord> records = new ArrayList<>();
      for (Path journal : store.journalFiles()) {
        RunRecord record = RecordDocument.read(store.recordFile(store.fold(journal).run()));
        records.add(record);
        record.events().forEach(e -> recorded.add(e.id()));
      }
      assertThat(recorded).containsAll(flushed);

      BrokerAddress address = new BrokerAddress(false, "127.0.0.1", broker.port());
      try (Publisher publisher =
          Publisher.start(
              store,
              "broker",
              new Station("attic", "bench-1"),
              address,
              Credentials.NONE,
              new RealClock())) {
        assertThat(publisher.close(LONG)).as(publisher.trouble().orElse("all told")).isTrue();
      }
      List<Received> received = subscriber.await(r -> lastStatus(r).contains("/end\""), LONG);
      Set<String> published = new HashSet<>();
      for (RunRecord record : records) {
        List<String> ids = BrokerIT.ids(received, record.run());
        assertThat(ids).isEqualTo(BrokerIT.allIds(record.run(), record.events().size()));
        published.addAll(ids);
      }
      assertThat(published).isEqualTo(recorded);
      assertThat(received)
          .extracting(BrokerIT::id)
          .filteredOn(id -> id.contains("-victim/") && id.matches(".*/\\d+"))
          .allMatch(recorded::contains);
    }
  }

  private List<String> runAndKill(Mosquitto broker, long seed, BooleanSupplier ready)
      throws IOException, InterruptedException {
    Process program =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-XX:+UseSerialGC",
                "-XX:TieredStopAtLevel=1",
                "-cp",
                System.getProperty("java.class.path"),
                VictimProgram.class.getName(),
                folder.resolve("records").toString(),
                "mqtt://127.0.0.1:" + broker.port(),
                String.valueOf(seed))
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    int entries = 20 + new Random(seed).nextInt(400);
    List<String> printed = new ArrayList<>();
    try (BufferedReader lines = program.inputReader(StandardCharsets.UTF_8)) {
      String line = lines.readLine();
      while (line != null) {
        printed.add(line);
        if (printed.size() >= entries && program.isAlive() && ready.getAsBoolean()) {
          program.destroyForcibly();
        }
        line = lines.readLine();
      }
    } catch (IOException closedByTheKill) {
      assertThat(printed.size()).isGreaterThanOrEqualTo(entries);
    }
    assertThat(program.waitFor()).as("killed, not ended").isNotZero();
    assertThat(printed.size()).as("seed %d", seed).isGreaterThanOrEqualTo(entries);
    if (!printed.get(printed.size() - 1).matches(".*/\\d+")) {
      printed.remove(printed.size() - 1);
    }
    return printed;
  }

  private static String runOf(String id) {
    return id.substring(0, id.lastIndexOf('/'));
  }

  private static String lastStatus(List<Received> received) {
    return received.stream()
        .filter(m -> m.topic().endsWith("/status"))
        .reduce((a, b) -> b)
        .map(Received::payload)
        .orElse("");
  }
}
