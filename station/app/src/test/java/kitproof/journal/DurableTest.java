package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whole or not at all. */
class DurableTest {
  @TempDir Path folder;

  @Test
  void whatFailsInTheMiddleLeavesTheOldFileAndNoRest() throws IOException {
    Path file = folder.resolve("table.csv");
    Durable.replace(file, "old", true);
    assertThatThrownBy(
            () ->
                Durable.replace(
                    file,
                    out -> {
                      out.write(new byte[100_000]); // more than any buffer
                      throw new IOException("No space left on device");
                    },
                    true))
        .hasMessage(file + " cannot be written: No space left on device");
    assertThat(file).hasContent("old");
    assertThat(folder).isDirectoryContaining("glob:**table.csv");
    assertThat(folder.toFile().list()).hasSize(1);
  }

  @Test
  void bytesAndPiecesReplaceWhatWasThere() throws IOException {
    Path file = folder.resolve("report.pdf");
    Durable.replace(file, new byte[] {1, 2, 3}, true);
    assertThat(file).hasBinaryContent(new byte[] {1, 2, 3});
    Durable.replace(
        file,
        out -> {
          for (int i = 0; i < 3; i++) {
            out.write("piece".getBytes(StandardCharsets.UTF_8));
          }
        },
        true);
    assertThat(file).hasContent("piecepiecepiece");
    assertThat(Durable.create(file, "never over it")).isFalse();
    assertThat(file).hasContent("piecepiecepiece");
  }
}
