package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.stream.Stream;
import kitproof.event.Verdict;
import kitproof.journal.Digests;
import kitproof.journal.KeptRuns;
import kitproof.journal.RecordStore;
import kitproof.store.IndexKeeper;
import org.awaitility.Awaitility;

/** A folder of records that something befalls. */
final class FaultyFolder {
  private static final Duration PATIENCE = Duration.ofSeconds(60);

  private FaultyFolder() {}

  /** One more record, a minute after the one before. */
  static void keep(Path records, int number) throws IOException {
    Instant time = Instant.parse("2026-11-01T10:00:00Z").plusSeconds(60L * number);
    KeptRuns.keep(
        new RecordStore(records), "r" + number, "bench-1", "LN12-00" + number, time, Verdict.PASS);
  }

  static Path three(Path records) throws IOException {
    for (int i = 1; i <= 3; i++) {
      keep(records, i);
    }
    return records;
  }

  /** Every document with its digest. */
  static Map<String, String> documents(Path records) throws IOException {
    Map<String, String> digests = new TreeMap<>();
    try (Stream<Path> files = Files.list(records)) {
      for (Path file : files.filter(f -> f.toString().endsWith(".json")).toList()) {
        digests.put(file.getFileName().toString(), Digests.of(file));
      }
    }
    return digests;
  }

  /** What the command says that makes the index anew. */
  static String rebuilt(Path records) {
    Cli cli = Cli.run("store", "rebuild", "--records", records);
    assertThat(cli.code()).as(cli.err()).isZero();
    return cli.lastLine();
  }

  /** What the keeper of the index tells. */
  static final class Heard implements IndexKeeper.Listener {
    final List<String> all = new CopyOnWriteArrayList<>();

    @Override
    public void behind(String trouble) {
      all.add(trouble);
    }

    @Override
    public void upToDate() {
      all.add("up to date");
    }

    void await(int number) {
      Awaitility.await().atMost(PATIENCE).until(() -> all.size() >= number);
    }
  }
}
