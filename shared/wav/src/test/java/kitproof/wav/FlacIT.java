package kitproof.wav;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against the reference program of the format (Debian package flac), both ways. */
class FlacIT {
  @TempDir Path folder;

  private String flac(String... arguments) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>(List.of("flac", "--silent", "--warnings-as-errors"));
    command.addAll(List.of(arguments));
    Path said = folder.resolve("said");
    Process flac =
        new ProcessBuilder(command).redirectErrorStream(true).redirectOutput(said.toFile()).start();
    assertThat(flac.waitFor()).as(command + ": " + Files.readString(said)).isZero();
    return Files.readString(said);
  }

  @ParameterizedTest(name = "{0} Hz, {1} channels")
  @DisplayName("The reference program finds the same bits in ours, and we in the reference's")
  @CsvSource({"44100, 1", "48000, 2", "96000, 2", "192000, 2", "192000, 8"})
  void bothWays(int rate, int channels) throws Exception {
    Path ours = folder.resolve("ours.flac");
    Path decoded = folder.resolve("decoded.wav");
    Path theirs = folder.resolve("theirs.flac");
    for (FlacTest.Shape shape : FlacTest.Shape.values()) {
      WavFile written = FlacTest.Shape.file(shape, channels, 20_011, rate);
      written.writeFlac(ours);
      assertThat(flac("--test", ours.toString())).as(shape + "").isEmpty();
      flac("--decode", "--force", "--output-name=" + decoded, ours.toString());
      same(shape, WavFile.read(decoded), written);
      flac("--best", "--force", "--output-name=" + theirs, decoded.toString());
      same(shape, WavFile.read(theirs), written);
    }
  }

  @Test
  @DisplayName("A full disk is told, in both forms, and not by the library's own trouble")
  void fullDisk() {
    WavFile noise = FlacTest.Shape.file(FlacTest.Shape.NOISE, 2, 200_000, 48_000);
    Path full = Path.of("/dev/full"); // a Linux device on which every write finds no room
    assertThatThrownBy(() -> noise.writeFlac(full))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("No space left on device");
    assertThatThrownBy(() -> noise.write(full))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("No space left on device");
  }

  private static void same(FlacTest.Shape shape, WavFile read, WavFile written) {
    assertThat(read.sampleRateHz()).as(shape + "").isEqualTo(written.sampleRateHz());
    assertThat(read.channels()).as(shape + "").isEqualTo(written.channels());
    for (int c = 0; c < written.channels(); c++) {
      assertThat(Arrays.equals(read.channel(c), written.channel(c)))
          .as(shape + ", channel " + c)
          .isTrue();
    }
  }
}
