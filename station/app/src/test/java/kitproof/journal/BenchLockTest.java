package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class BenchLockTest {
  @TempDir Path folder;

  private List<Path> locks() throws IOException {
    return List.of(Files.createDirectories(folder.resolve("locks")));
  }

  @Test
  void whoSharesOneFolderMeetsThere() throws Exception {
    Path run = Files.createDirectories(folder.resolve("run"));
    Path tmp = Files.createDirectories(folder.resolve("tmp"));
    try (BenchLock both = BenchLock.take(List.of(run, tmp), List.of("/dev/port"))) {
      assertThat(both).isNotNull();
      assertThatThrownBy(() -> BenchLock.take(List.of(tmp), List.of("/dev/port")))
          .isInstanceOf(BenchLock.TakenException.class);
    }
    BenchLock.take(List.of(tmp), List.of("/dev/port")).close();
  }

  @Test
  void lockFilesAreForEveryUserOfTheMachine() throws Exception {
    Path shared = folder.resolve("shared");
    List<Path> folders =
        LockFolders.usable(
            List.of(shared),
            folder.resolve("own"),
            told -> {
              throw new AssertionError(told);
            });
    assertThat(folders).containsExactly(shared);
    try (BenchLock lock = BenchLock.take(folders, List.of("/dev/port"))) {
      assertThat(lock).isNotNull();
      assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(shared)))
          .isEqualTo("rwxrwxrwx");
      try (Stream<Path> files = Files.list(shared)) {
        assertThat(files.map(BenchLockTest::permissions)).containsExactly("rw-rw-rw-");
      }
    }
  }

  private static String permissions(Path file) {
    try {
      return PosixFilePermissions.toString(Files.getPosixFilePermissions(file));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Test
  void withoutASharedFolderItIsSaidThatOtherUsersAreNotNoticed() throws Exception {
    Path file = Files.createFile(folder.resolve("file"));
    List<String> told = new ArrayList<>();
    assertThat(LockFolders.usable(List.of(file.resolve("locks")), folder.resolve("own"), told::add))
        .containsExactly(folder.resolve("own"));
    assertThat(told).singleElement().asString().contains("another user", "will not be noticed");
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
