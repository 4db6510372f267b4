package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javax.imageio.ImageIO;
import kitproof.event.Event;
import kitproof.journal.Fixture;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PlotTest {
  @TempDir Path folder;
  private Path record;

  @BeforeEach
  void keepARun() throws IOException {
    RecordStore store = new RecordStore(folder.resolve("records"));
    try (Journal journal = store.begin(Fixture.RUN, () -> java.time.Instant.EPOCH)) {
      for (Event event : Fixture.events()) {
        journal.append(event);
      }
      record = RecordDocument.write(store, journal.file());
    }
  }

  @Test
  void aRecordsCurveIsDrawnWithItsMaskAndConditions() throws IOException {
    Path out = folder.resolve("unit.svg");
    Cli cli = Cli.run("plot", record, "--out", out);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out()).contains("1 plot: " + out);
    assertThat(Files.readString(out))
        .contains(">Frequency response<", "LN12-001, mode triode, tap 8 ohm<", "within the mask");
  }

  @Test
  void twoRecordsAreDrawnOverOneAnother() throws IOException {
    Path sister = folder.resolve("sister.json");
    Files.writeString(sister, Files.readString(record).replace("LN12-001", "LN12-002"));
    Path out = folder.resolve("both.svg");
    assertThat(Cli.run("plot", record, sister, "--out", out).code()).isZero();
    assertThat(Files.readString(out))
        .contains(">mode triode, tap 8 ohm<", "LN12-001<", "LN12-002<");
  }

  @Test
  void aPictureSaysWhichOfItsRunsWasUncalibrated() throws IOException {
    Path other = folder.resolve("other");
    RecordStore store = new RecordStore(other);
    Path uncalibrated;
    try (Journal journal = store.begin(Fixture.RUN, () -> java.time.Instant.EPOCH)) {
      for (Event event : Fixture.events()) {
        journal.append(event);
        if (event instanceof Event.RunStarted) {
          journal.append(new Event.CalibrationTold(false, "UNCALIBRATED: by hand", List.of()));
        }
      }
      uncalibrated = RecordDocument.write(store, journal.file());
    }
    Path out = folder.resolve("unit.svg");
    assertThat(Cli.run("plot", uncalibrated, "--out", out).code()).isZero();
    assertThat(out).content().contains("LN12-001, mode triode, tap 8 ohm, UNCALIBRATED<");
    assertThat(Cli.run("plot", record, "--out", out).code()).isZero();
    assertThat(out).content().doesNotContain("UNCALIBRATED");
    Path sister = folder.resolve("sister.json");
    Files.writeString(sister, Files.readString(record).replace("LN12-001", "LN12-002"));
    assertThat(Cli.run("plot", uncalibrated, sister, "--out", out).code()).isZero();
    assertThat(out)
        .content()
        .contains(">mode triode, tap 8 ohm<", "LN12-001, UNCALIBRATED<", "LN12-002<");
  }

  @Test
  void thePictureCanBeInPixels() throws IOException {
    Path out = folder.resolve("unit.PNG");
    Cli cli = Cli.run("plot", record, "--result", "frequency response", "--out", out);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(ImageIO.read(out.toFile()).getWidth()).isGreaterThan(1000);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "--out|unit.gif|expected a file that ends in .svg or .png",
        "--result|frequency responce|did you mean \"frequency response\"?",
        "--when|tap=9 ohm|found no curve when tap 9 ohm"
      })
  void whatCannotBeDrawnIsTold(String option, String value, String told) {
    Path out = folder.resolve("unit.svg");
    Cli cli =
        option.equals("--out")
            ? Cli.run("plot", record, option, value)
            : Cli.run("plot", record, option, value, "--out", out);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains(told);
    assertThat(out).doesNotExist();
  }

  @Test
  void whatIsNoRecordIsTold() throws IOException {
    Path out = folder.resolve("unit.svg");
    Cli missing = Cli.run("plot", folder.resolve("none.json"), "--out", out);
    assertThat(missing.code()).isEqualTo(2);
    assertThat(missing.err()).contains("none.json: found no such file");
    Path broken = Files.writeString(folder.resolve("broken.json"), "{\"schema\": 1");
    Cli cut = Cli.run("plot", broken, "--out", out);
    assertThat(cut.code()).isEqualTo(2);
    assertThat(cut.err()).contains("broken.json: ").contains("expected the record of a run");
    assertThat(out).doesNotExist();
  }
}
