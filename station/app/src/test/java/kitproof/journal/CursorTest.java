package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CursorTest {
  @TempDir Path folder;
  private RecordStore store;
  private Path journal;

  @BeforeEach
  void openStore() throws IOException {
    store = new RecordStore(folder);
    journal = store.journalFile(Fixture.RUN);
  }

  @Test
  void aPlaceIsKeptPerReaderAndRun() throws IOException {
    assertThat(store.cursor("mqtt://a:1883", journal).next()).isZero();
    store.cursor("mqtt://a:1883", journal).advance(7, false);
    assertThat(store.cursor("mqtt://a:1883", journal).next()).isEqualTo(7);
    assertThat(store.cursor("mqtt://a:1883", journal).done()).isFalse();
    assertThat(store.cursor("mqtt://b:1883", journal).next()).isZero();
    assertThat(store.cursor("mqtt://a:1883", store.journalFile("other")).next()).isZero();
    store.cursor("mqtt://a:1883", journal).advance(12, true);
    assertThat(store.cursor("mqtt://a:1883", journal).done()).isTrue();
  }

  @Test
  void aCursorMovesOnOnly() throws IOException {
    Cursor cursor = store.cursor("r", journal);
    cursor.advance(3, false);
    assertThatThrownBy(() -> cursor.advance(2, false)).isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void anUnreadableCursorBeginsAgain() throws IOException {
    store.cursor("r", journal).advance(3, true);
    Files.write(store.cursorFile("r", journal), new byte[] {0, 0, 0, (byte) 0xff});
    assertThat(store.cursor("r", journal).next()).isZero();
    assertThat(store.cursor("r", journal).done()).isFalse();
  }

  @Test
  void oneReaderOfANameAtATime() throws IOException {
    try (ProcessLock first = store.lockReader("r").orElseThrow()) {
      assertThat(store.lockReader("r")).isEmpty();
      assertThat(store.lockReader("other")).hasValueSatisfying(CursorTest::close);
    }
    assertThat(store.lockReader("r")).hasValueSatisfying(CursorTest::close);
  }

  private static void close(ProcessLock lock) {
    try {
      lock.close();
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }
}
