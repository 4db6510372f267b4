package kitproof.benchmark;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.SortedSet;
import javax.imageio.ImageIO;
import kitproof.event.Entry;
import kitproof.event.Verdict;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.mqtt.RecordMessage;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The command that takes the README's pictures, of a shop that is made up: the demo's batch, which
 * takes minutes, is watched in a test of its own.
 */
class ScreenshotsIT {
  @TempDir Path folder;

  @BeforeAll
  static void setHome() {
    System.setProperty(
        "kitproof.home", Path.of("").toAbsolutePath().getParent().getParent().toString());
  }

  @Test
  void everyPictureIsTakenOfProgramsThatRun() throws Exception {
    SortedSet<String> names = Screenshots.names();
    List<Path> taken;
    try (Scene scene = new Scene(System.getProperty("java.class.path"), ScreenshotsIT::madeUp)) {
      taken = Screenshots.take(scene, folder, names, 1);
    }
    assertThat(taken).hasSameSizeAs(names);
    for (Path file : taken) {
      BufferedImage picture = ImageIO.read(file.toFile());
      assertThat(picture.getWidth()).isEqualTo(Scene.WIDTH);
      assertThat(picture.getHeight()).isEqualTo(Scene.HEIGHT);
      assertThat(colours(picture)).as("%s shows something", file).isGreaterThan(50);
    }
  }

  /** A station that tests one unit after the other, and a unit that has failed before. */
  private static AutoCloseable madeUp(int brokerPort, Path records) throws Exception {
    keepRecords(records);
    Crier crier = new Crier(brokerPort);
    RunRecord failed;
    long seed = 0;
    do {
      MadeUpRun run =
          new MadeUpRun(
              "bench-900",
              "LN12-900",
              MadeUpShop.BATCH,
              Instant.now().minusSeconds(60),
              Duration.ofSeconds(1),
              MadeUpShop.STEPS,
              new Random(seed++));
      failed = RunRecord.of(run.entries());
    } while (failed.verdict() != Verdict.FAIL);
    crier.cry("bench-900", RecordMessage.verdict(failed, failed.run() + "/1", 12));
    crier.cry("bench-900", RecordMessage.of(failed, failed.run() + "/1", 12));
    MadeUpShop shop = new MadeUpShop(crier, 1, Duration.ofSeconds(6));
    return () -> {
      shop.close();
      crier.close();
    };
  }

  /** Of a few units, for their papers. */
  private static void keepRecords(Path records) throws IOException {
    RecordStore store = new RecordStore(records);
    boolean passed = false;
    for (int i = 0; i < 4 || !passed; i++) {
      MadeUpRun run =
          new MadeUpRun(
              "bench-901",
              "LN12-80" + i,
              MadeUpShop.BATCH,
              Instant.now().minusSeconds(600 - 60L * i),
              Duration.ofSeconds(1),
              MadeUpShop.STEPS,
              new Random(i));
      RunRecord record = RunRecord.of(run.entries());
      passed |= record.verdict() == Verdict.PASS;
      try (Journal journal = store.begin(record.run(), Instant::now)) {
        for (Entry entry : run.entries()) {
          journal.append(entry.event());
        }
        RecordDocument.write(store, journal.file());
      }
    }
  }

  private static int colours(BufferedImage picture) {
    Set<Integer> colours = new HashSet<>();
    for (int y = 0; y < picture.getHeight(); y += 2) {
      for (int x = 0; x < picture.getWidth(); x += 2) {
        colours.add(picture.getRGB(x, y));
      }
    }
    return colours.size();
  }
}
