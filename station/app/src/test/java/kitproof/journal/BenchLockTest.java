package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class BenchLockTest {
  @TempDir Path folder;

  private Path locks() {
    return folder.resolve("locks");
  }

  @Test
  void twoBenchesThatNameTheSamePortDoNotRunTogether() throws Exception {
    Path port = Files.createFile(folder.resolve("ttyUSB0"));
    Path alias = Files.createSymbolicLink(folder.resolve("by-id-meter"), port);
    try (BenchLock first =
        BenchLock.take(locks(), List.of("tcp://10.0.0.2:5025", alias.toString()))) {
      assertThat(first).isNotNull();
      assertThatThrownBy(() -> BenchLock.take(locks(), List.of("/dev/other", port.toString())))
          .isInstanceOf(BenchLock.TakenException.class)
          .hasMessage(port.toRealPath() + " is in use by another run on this machine");
      // What the refused one had taken already is free again.
      BenchLock.take(locks(), List.of("/dev/other")).close();
    }
    BenchLock.take(locks(), List.of(port.toString())).close();
  }

  @Test
  void aBenchWithoutPortsOfItsOwnTakesNothing() throws Exception {
    try (BenchLock one = BenchLock.take(locks(), List.of());
        BenchLock two = BenchLock.take(locks(), List.of())) {
      assertThat(one).isNotSameAs(two);
    }
  }
}
